"""How the history of a job is read from its logs: one query each, newest first, from a place on."""

from __future__ import annotations

from collections.abc import Collection

from django.db.models import Q

from shop.history.lines import PAGE, Line, Page, Place, merged
from shop.history.logs import LOGS, Log
from shop.jobs.models import Job


def history(job: Job, *, allowed: Collection[str], kind: str = "", about: str = "", after: Place | None = None) -> Page:
    """A page of a job's history, newest first: one query a log, however long the history.

    Parameters
    ----------
    job : Job
    allowed : collection of str
        Permissions of the reader.
    kind : str
        Key of ``logs.KINDS``; empty = all.
    about : str
        Words that the subject contains; empty = all.
    after : Place or None
        Begins behind this line.
    """
    found = [
        _lines(log, rank, job, about, after)
        for rank, log in enumerate(LOGS)
        if (not kind or log.kind == kind) and (not log.permission or log.permission in allowed)
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
        told = log.told(row)
        place = Place(getattr(row, log.at), rank, row.pk)
        lines.append(Line(place, log.kind, told.by, told.what, told.subject, told.details))
    return lines


def _behind(log: Log, rank: int, after: Place) -> Q:
    """Rows that stand behind a line of this or another log."""
    older = Q(**{f"{log.at}__lt": after.at})
    same = Q(**{log.at: after.at})
    if rank > after.log:
        return older | same
    return older | (same & Q(pk__lt=after.key)) if rank == after.log else older
