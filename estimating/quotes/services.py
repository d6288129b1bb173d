"""What can happen to a quote. Each is one transaction, and holds the quote's row until its end."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from circuits.outbox.queue import enqueue
from circuits.planning.models import PlanRow
from estimating.pricing.quote import LabourBasis
from estimating.quotes import events
from estimating.quotes.draft import Draft, draft_of
from estimating.quotes.models import QuoteRevision, QuoteRow
from estimating.quotes.numbering import next_number
from estimating.quotes.record import write_record
from estimating.quotes.rules import RefusedError, accepted_already, reasons_not_to_accept, reasons_not_to_decline
from estimating.quotes.states import State

MAKE_PAPER = "quotes.make_paper"


@transaction.atomic
def create_quote(*, plan: PlanRow, addressee: str, vehicle: str, by: str, at: datetime | None = None) -> QuoteRow:
    """A quote for a plan, with the next number of the year and a first revision in draft.

    Parameters
    ----------
    plan : PlanRow
    addressee, vehicle : str
        As the paper prints them; both can be changed until a revision is sent, and again for the next.
    by : str
        Name of the member of staff.
    at : datetime or None
        Now; its year goes into the number.

    Raises
    ------
    django.core.exceptions.ValidationError
        For a text that is missing or too long.
    """
    at = at or timezone.now()
    number = next_number("Q", timezone.localdate(at).year)
    quote = QuoteRow(plan=plan, number=number, addressee=addressee, vehicle=vehicle, created_at=at, created_by=by)
    quote.full_clean()
    quote.save()
    QuoteRevision.objects.create(quote=quote, number=1)
    events.quote_created.send(sender=QuoteRow, quote=quote, by=by)
    return quote


@transaction.atomic
def write_draft(
    *, quote: QuoteRow, addressee: str, vehicle: str, note: str, labour_basis: LabourBasis | None
) -> QuoteRevision:
    """Stores what is said on the next revision; opens that where the last has been sent.

    Raises
    ------
    RefusedError
        Where the customer has accepted a revision.
    django.core.exceptions.ValidationError
        For a text that is missing or too long.
    """
    quote = _held(quote.pk)
    _refuse_after_acceptance(quote)
    quote.addressee, quote.vehicle = addressee, vehicle
    quote.full_clean()
    quote.save()
    revision = open_draft(quote)
    revision.note = note
    revision.labour_basis = labour_basis or ""
    revision.full_clean()
    revision.save()
    return revision


def open_draft(quote: QuoteRow) -> QuoteRevision:
    """The revision in draft; a new one, with the next number, where there is none. Call it with the quote held."""
    last = quote.revisions.order_by("-number").first()
    if last is not None and last.state == State.DRAFT:
        return last
    basis = last.labour_basis if last else ""
    return QuoteRevision.objects.create(quote=quote, number=last.number + 1 if last else 1, labour_basis=basis)


@transaction.atomic
def send_revision(
    *, quote: QuoteRow, by: str, at: datetime, expected: int | None = None, seen: str = ""
) -> QuoteRevision:
    """Freezes today's work-up as the next revision; the one sent before is superseded.

    Parameters
    ----------
    quote : QuoteRow
    by : str
        Name of the member of staff.
    at : datetime
        Now. Validity counts from its day in the shop's time zone.
    expected : int or None
        Number the sender believes the revision to have; another number means that somebody was quicker.
    seen : str
        ``Draft.fingerprint`` of what the sender looked at; another one means that plan, prices or texts changed since.

    Raises
    ------
    RefusedError
        With every reason: error findings, parts without a price, no circuits, no addressee, an accepted revision.
    """
    quote = _held(quote.pk)
    revision = open_draft(quote)
    draft = draft_of(quote, revision, by=by, at=at)
    _refuse_other_than_seen(draft, expected, seen)
    if draft.reasons:
        raise RefusedError(*draft.reasons)
    quote.revisions.filter(state=State.SENT).update(state=State.SUPERSEDED)
    revision.content = write_record(draft.record)
    revision.valid_until = draft.record.heading.valid_until
    revision.state, revision.sent_at, revision.sent_by = State.SENT, at, by
    revision.full_clean()
    revision.save()
    enqueue(MAKE_PAPER, revision.pk)
    events.quote_sent.send(sender=QuoteRevision, revision=revision, at=at)
    return revision


@transaction.atomic
def accept_revision(*, revision: QuoteRevision, name: str, at: datetime, by: str = "") -> QuoteRevision:
    """The customer accepts a revision; whoever listens to ``quote_accepted`` books the work in the same transaction.

    Parameters
    ----------
    revision : QuoteRevision
    name : str
        Of the customer who accepts.
    at : datetime
        When; validity is judged by its day in the shop's time zone.
    by : str
        Member of staff who took it down.

    Raises
    ------
    RefusedError
        For a revision that has expired, was superseded, declined or accepted before, or never sent; or without a name.
    """
    quote = _held(revision.quote_id)
    revision = quote.revisions.get(pk=revision.pk)
    name = " ".join(name.split())
    today = timezone.localdate(at)
    _refuse(reasons_not_to_accept(state=revision.state, valid_until=revision.valid_until, today=today, name=name))
    _move_on(revision, State.ACCEPTED, accepted_name=name[:160], accepted_at=at, accepted_by=by)
    events.quote_accepted.send(sender=QuoteRevision, revision=revision, name=name, at=at)
    return revision


@transaction.atomic
def decline_revision(*, revision: QuoteRevision, reason: str, at: datetime) -> QuoteRevision:
    """The customer says no to a revision that is with them.

    Raises
    ------
    RefusedError
        For a revision that is not with the customer.
    """
    quote = _held(revision.quote_id)
    revision = quote.revisions.get(pk=revision.pk)
    _refuse(reasons_not_to_decline(state=revision.state))
    reason = reason.strip()[:300]
    _move_on(revision, State.DECLINED, declined_at=at, declined_reason=reason)
    events.quote_declined.send(sender=QuoteRevision, revision=revision, reason=reason, at=at)
    return revision


def _held(quote_id: int) -> QuoteRow:
    """The quote's row, locked until the transaction ends, so that of two acts the second sees the first."""
    return QuoteRow.objects.select_for_update().get(pk=quote_id)


def _move_on(revision: QuoteRevision, state: State, **signed: object) -> None:
    """From sent to ``state``, in one conditional statement: of two answers one finds the revision gone."""
    moved = QuoteRevision.objects.filter(pk=revision.pk, state=State.SENT).update(state=state, **signed)
    if not moved:
        raise RefusedError("Somebody has answered this revision meanwhile.")
    revision.refresh_from_db()


def _refuse(reasons: tuple[str, ...]) -> None:
    if reasons:
        raise RefusedError(*reasons)


def _refuse_after_acceptance(quote: QuoteRow) -> None:
    accepted = quote.revisions.filter(state=State.ACCEPTED).values_list("number", flat=True).first()
    if accepted is not None:
        raise RefusedError(accepted_already(accepted))


def _refuse_other_than_seen(draft: Draft, expected: int | None, seen: str) -> None:
    number = draft.record.heading.revision
    if expected is not None and expected != number:
        raise RefusedError(f"Revision {expected} has been sent meanwhile: look at it before sending revision {number}.")
    if seen and seen != draft.fingerprint:
        raise RefusedError("Plan, prices or texts have changed since you looked: read the quote again, then send it.")
