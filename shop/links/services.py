"""What can happen to a customer link. Each is one transaction."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction

from estimating.quotes.models import QuoteRevision
from estimating.quotes.services import accept_revision
from estimating.quotes.states import State
from shop.billing.change_services import answer_change
from shop.billing.models import Change
from shop.jobs.models import Job
from shop.links.models import CustomerLink, LinkAct
from shop.links.rules import MOST_DAYS, ClosedError, LinkState, closed_words
from shop.links.secret import hash_of, is_well_formed, new_secret


@dataclass(frozen=True, slots=True)
class NewLink:
    """A link just made, with its secret: shown once, kept nowhere."""

    link: CustomerLink
    secret: str


@transaction.atomic
def make_link(*, job: Job, days: int, by: str, at: datetime) -> NewLink:
    """An address for the customer of a job.

    Parameters
    ----------
    job : Job
    days : int
        For how long it opens, 1 to 180.
    by : str
        Name of the member of staff.
    at : datetime
        Now.

    Raises
    ------
    django.core.exceptions.ValidationError
        For a number of days out of range.
    """
    if not 1 <= days <= MOST_DAYS:
        raise ValidationError(f"{days} days: expected 1 to {MOST_DAYS}.")
    secret = new_secret()
    link = CustomerLink(
        job=job, secret_hash=hash_of(secret), made_at=at, made_by=by, expires_at=at + timedelta(days=days)
    )
    link.full_clean()
    link.save()
    return NewLink(link, secret)


@transaction.atomic
def revoke_link(*, link_id: int, by: str, at: datetime) -> CustomerLink:
    """Close a link for good. One that is revoked already stays as it was.

    Raises
    ------
    CustomerLink.DoesNotExist
    """
    link = CustomerLink.objects.select_for_update().get(pk=link_id)
    if link.revoked_at is None:
        link.revoked_at, link.revoked_by = at, by
        link.save(update_fields=["revoked_at", "revoked_by"])
    return link


def link_of(secret: str) -> CustomerLink | None:
    """The link with a secret, open or not; None where there is none. At most one query."""
    if not is_well_formed(secret):
        return None
    links = CustomerLink.objects.select_related("job__customer", "job__vehicle", "job__quote")
    return links.filter(secret_hash=hash_of(secret)).first()


@transaction.atomic
def accept_by_link(*, link: CustomerLink, number: int, name: str, at: datetime) -> QuoteRevision:
    """The customer accepts a revision of the job's quote: the job is booked in the same transaction.

    Parameters
    ----------
    link : CustomerLink
    number : int
        Of the revision that the customer read.
    name : str
        As the customer typed it.
    at : datetime
        Now.

    Raises
    ------
    ClosedError
        For a link that was revoked, or has run out.
    QuoteRevision.DoesNotExist
        For a revision that was never sent.
    RefusedError
        For a revision that has expired, was superseded, declined or accepted before; or without a name.
    """
    link = _held_open(link, at)
    revisions = QuoteRevision.objects.exclude(state=State.DRAFT).select_related("quote")
    revision = revisions.get(quote=link.job.quote_id, number=number)
    accepted = accept_revision(revision=revision, name=name, at=at)
    what = f"quote {revision.quote.number} revision {number}"
    LinkAct.objects.create(link=link, what=what, name=accepted.accepted_name, at=at)
    return accepted


@transaction.atomic
def accept_change_by_link(*, link: CustomerLink, number: int, name: str, at: datetime) -> Change:
    """The customer accepts a change of the job.

    Parameters
    ----------
    link : CustomerLink
    number : int
        Of the change that the customer read.
    name : str
        As the customer typed it.
    at : datetime
        Now.

    Raises
    ------
    ClosedError
        For a link that was revoked, or has run out.
    Change.DoesNotExist
    RefusedError
        For a change that is not with the customer any more; or without a name.
    """
    link = _held_open(link, at)
    change = Change.objects.select_related("job").get(job=link.job_id, number=number)
    accepted = answer_change(change=change, accepted=True, name=name, at=at)
    LinkAct.objects.create(link=link, what=f"change {number}", name=accepted.answered_name, at=at)
    return accepted


def _held_open(link: CustomerLink, at: datetime) -> CustomerLink:
    """The link, held until the end: one revoked at the same moment is either closed before or used before."""
    held = CustomerLink.objects.select_for_update(of=("self",)).select_related("job").get(pk=link.pk)
    state = held.state(at)
    if state is not LinkState.OPEN:
        raise ClosedError(closed_words(state, ""))
    return held
