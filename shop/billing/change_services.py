"""What can happen to a change. Each is one transaction, and holds the job's account until its end."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from django.db import transaction
from django.utils import timezone

from circuits.outbox.queue import enqueue
from estimating.quotes.letterheads import shop_letterhead
from estimating.quotes.rules import RefusedError
from shop.billing.agreement import Agreement, Difference, agreement_of, difference_of
from shop.billing.change_record import ChangeHeading, ChangeRecord, fingerprint, write_change
from shop.billing.events import change_accepted
from shop.billing.models import Account, Change, ChangeState
from shop.jobs.models import Job

MAKE_CHANGE_PAPER = "billing.make_change_paper"


@dataclass(frozen=True)
class ChangeDraft:
    """The change as it would be sent now. ``reasons`` say why it cannot be, if so."""

    record: ChangeRecord
    difference: Difference
    reasons: tuple[str, ...]

    @cached_property
    def fingerprint(self) -> str:
        """Names what is offered, so that a sender can say what was looked at."""
        return fingerprint(self.record)


def draft_change(job: Job, agreement: Agreement, *, note: str, by: str, today: date) -> ChangeDraft:
    """Today's plan against the agreement, as the next change."""
    found = difference_of(job, agreement)
    last = Change.objects.filter(job=job).order_by("-number").values_list("number", flat=True).first() or 0
    record = ChangeRecord(
        heading=ChangeHeading(
            number=last + 1,
            job_number=job.number,
            quote_number=agreement.record.heading.number,
            revision=agreement.record.heading.revision,
            date=today,
            by=by,
            addressee=job.customer.addressee,
            vehicle=str(job.vehicle),
            since=agreement.words,
            note=note.strip(),
        ),
        letterhead=shop_letterhead(),
        terms=agreement.record.terms,
        priced=found.priced,
        circuits=found.circuits,
        part_prices=found.part_prices,
        plan=found.plan,
    )
    return ChangeDraft(record, found, _reasons(found))


def _reasons(found: Difference) -> tuple[str, ...]:
    reasons = [] if found else ["The plan is as the customer accepted it: there is no change to send."]
    reasons += [f"{fault.rstrip('.')}. Cure it on the plan first." for fault in found.faults]
    reasons += [f"{part} has no price: add it to the price book." for part in found.priced.unpriced]
    return tuple(reasons)


@transaction.atomic
def send_change(*, job: Job, note: str, by: str, at: datetime, expected: int | None = None, seen: str = "") -> Change:
    """Freezes today's difference as the next change; one that was still open is replaced by it.

    Parameters
    ----------
    job : Job
    note : str
        A few words to the customer.
    by : str
        Name of the member of staff.
    at : datetime
        Now.
    expected : int or None
        Number the sender believes the change to have.
    seen : str
        ``ChangeDraft.fingerprint`` of what was looked at.

    Raises
    ------
    RefusedError
        Before a quote is accepted; where nothing differs; for error findings, parts without a price, or where somebody
        was quicker.
    """
    _hold(job)
    agreement = agreement_of(job)
    if agreement is None:
        raise RefusedError("No quote has been accepted yet: what changes goes into its next revision.")
    draft = draft_change(job, agreement, note=note, by=by, today=timezone.localdate(at))
    if expected is not None and expected != draft.record.heading.number:
        raise RefusedError(f"Change {expected} has been sent meanwhile: look at it before sending another.")
    if seen and seen != draft.fingerprint:
        raise RefusedError("Plan or prices have changed since you looked: read the change again, then send it.")
    if draft.reasons:
        raise RefusedError(*draft.reasons)
    Change.objects.filter(job=job, state=ChangeState.SENT).update(state=ChangeState.SUPERSEDED)
    row = Change(
        job=job,
        number=draft.record.heading.number,
        content=write_change(draft.record),
        note=draft.record.heading.note,
        net=draft.record.priced.net,
        total=draft.record.priced.total,
        sent_at=at,
        sent_by=by,
    )
    row.full_clean()
    row.save()
    enqueue(MAKE_CHANGE_PAPER, row.pk)
    return row


@transaction.atomic
def answer_change(*, change: Change, accepted: bool, name: str, at: datetime, by: str = "", note: str = "") -> Change:
    """The customer accepts a change, or declines it.

    Parameters
    ----------
    change : Change
    accepted : bool
    name : str
        Of the customer who answers.
    at : datetime
    by : str
        Member of staff who took it down.
    note : str
        Why, where it is declined.

    Raises
    ------
    RefusedError
        For a change that is not with the customer any more, or without a name.
    """
    _hold(change.job)
    name = " ".join(name.split())[:160]
    if not name:
        raise RefusedError("The name of the customer who answers is missing.")
    open_still = Change.objects.filter(pk=change.pk, state=ChangeState.SENT)
    state = ChangeState.ACCEPTED if accepted else ChangeState.DECLINED
    if not open_still.update(
        state=state, answered_name=name, answered_at=at, answered_by=by[:160], answer_note=note.strip()[:300]
    ):
        state_now = ChangeState(Change.objects.values_list("state", flat=True).get(pk=change.pk))
        raise RefusedError(f"Change {change.number} is not with the customer any more: {state_now.label}.")
    change.refresh_from_db()
    if accepted:
        change_accepted.send(sender=Change, change=change, at=at)
    return change


def _hold(job: Job) -> None:
    """The job's account, locked until the transaction ends: changes and money of a job wait for each other."""
    Account.objects.get_or_create(job=job)
    Account.objects.select_for_update().get(job=job)
