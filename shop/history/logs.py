"""The logs that a job's history is read from: one query each, newest first, from a place on.

A log that another app keeps is added here: one function from its rows to lines.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet
from django.utils import timezone

from circuits.planning.history import change_line
from circuits.planning.models import PlanChange
from estimating.quotes.models import QuoteRevision
from shop.handover.models import Handover
from shop.history.lines import PAGE, Line, Page, Place, merged
from shop.jobs.models import Job
from shop.links.models import CustomerLink, LinkAct


@dataclass(frozen=True, slots=True)
class Log:
    """One log.

    Parameters
    ----------
    kind : str
        What its lines are about, a key of ``KINDS``.
    rows : callable
        The rows of a job.
    at : str
        Name of the moment's column; rows without a moment are left out.
    told : callable
        Who, what, subject and details of a row.
    subject : str
        Column that the subject is found by; empty = it is not found by one.
    permission : str
        Asked for beyond that of the page.
    """

    kind: str
    rows: Callable[[Job], QuerySet[Any]]
    at: str
    told: Callable[[Any], tuple[str, str, str, tuple[str, ...]]]
    subject: str = ""
    permission: str = ""


KINDS = {
    "plan": "Plan",
    "quote": "Quote",
    "handover": "Handover",
    "links": "Customer links",
}


def history(job: Job, *, allowed: Iterable[str], kind: str = "", about: str = "", after: Place | None = None) -> Page:
    """A page of a job's history, newest first: one query a log, however long the history.

    Parameters
    ----------
    job : Job
    allowed : iterable of str
        Permissions of the reader.
    kind : str
        Key of ``KINDS``; empty = all.
    about : str
        Words that the subject contains; empty = all.
    after : Place or None
        Begins behind this line.
    """
    may = set(allowed)
    found = [
        _lines(log, rank, job, about, after)
        for rank, log in enumerate(LOGS)
        if (not kind or log.kind == kind) and (not log.permission or log.permission in may)
        if not about or log.subject
    ]
    return merged(found)


def _lines(log: Log, rank: int, job: Job, about: str, after: Place | None) -> list[Line]:
    rows = log.rows(job).filter(**{f"{log.at}__isnull": False})
    if about:
        rows = rows.filter(**{f"{log.subject}__icontains": about})
    if after is not None:
        rows = rows.filter(_behind(log, rank, after))
    lines = []
    for row in rows.order_by(f"-{log.at}", "-pk")[: PAGE + 1]:
        by, what, subject, details = log.told(row)
        lines.append(Line(Place(getattr(row, log.at), rank, row.pk), log.kind, by, what, subject, details))
    return lines


def _behind(log: Log, rank: int, after: Place) -> Q:
    """Rows that stand behind a line of this or another log."""
    older = Q(**{f"{log.at}__lt": after.at})
    same = Q(**{log.at: after.at})
    if rank > after.log:
        return older | same
    return older | (same & Q(pk__lt=after.key)) if rank == after.log else older


def _plan_change(row: PlanChange) -> tuple[str, str, str, tuple[str, ...]]:
    line = change_line(row)
    return (
        line.by,
        line.what,
        line.subject,
        tuple(f"{f.label}: {f.before or 'none'} → {f.after or 'none'}" for f in line.fields),
    )


def _quote(what: str, by: str) -> Callable[[QuoteRevision], tuple[str, str, str, tuple[str, ...]]]:
    def told(row: QuoteRevision) -> tuple[str, str, str, tuple[str, ...]]:
        details = [row.declined_reason] if what == "turned down" and row.declined_reason else []
        if what == "accepted" and row.accepted_by:
            details.append(f"taken down by {row.accepted_by}")
        return getattr(row, by) if by else "", f"quote {what}", f"revision {row.number}", tuple(details)

    return told


def _revisions(job: Job) -> QuerySet[Any]:
    return QuoteRevision.objects.without_content().filter(quote=job.quote_id)


def _handover(row: Handover) -> tuple[str, str, str, tuple[str, ...]]:
    return row.released_name, "vehicle released", f"handover sheet revision {row.number}", ()


def _link_made(row: CustomerLink) -> tuple[str, str, str, tuple[str, ...]]:
    until = f"until {timezone.localtime(row.expires_at):%d %b %Y, %H:%M}"
    return row.made_by, "customer link made", "", (until,)


def _link_revoked(row: CustomerLink) -> tuple[str, str, str, tuple[str, ...]]:
    made = f"made {timezone.localtime(row.made_at):%d %b %Y, %H:%M}"
    return row.revoked_by, "customer link revoked", "", (made,)


def _link_act(row: LinkAct) -> tuple[str, str, str, tuple[str, ...]]:
    return row.name, "accepted by customer link", row.what, ()


LOGS: tuple[Log, ...] = (
    Log("handover", lambda job: Handover.objects.defer("content").filter(job=job), "released_at", _handover),
    Log("links", lambda job: LinkAct.objects.filter(link__job=job), "at", _link_act, "what"),
    Log("links", lambda job: CustomerLink.objects.filter(job=job), "revoked_at", _link_revoked),
    Log("links", lambda job: CustomerLink.objects.filter(job=job), "made_at", _link_made),
    Log("quote", _revisions, "accepted_at", _quote("accepted", "accepted_name"), permission="quotes.view_prices"),
    Log("quote", _revisions, "declined_at", _quote("turned down", ""), permission="quotes.view_prices"),
    Log("quote", _revisions, "sent_at", _quote("sent", "sent_by"), permission="quotes.view_prices"),
    Log("plan", lambda job: PlanChange.objects.filter(plan=job.plan_id), "at", _plan_change, "subject"),
)
