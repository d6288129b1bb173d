"""The logs that a job's history is read from. One that another app keeps is added here, with how its rows are told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from circuits.planning.models import PlanChange
from estimating.quotes.models import QuoteRevision
from shop.billing.models import Change, Document, Payment
from shop.faults.models import FaultEvent, FaultTest, FinderStep
from shop.floor.models import HoursCorrection, HoursEntry, Tick
from shop.handover.models import Handover
from shop.history import words
from shop.history.words import Told
from shop.jobs.models import Job
from shop.links.models import CustomerLink, LinkAct
from shop.proof.models import BatteryAct, ProofSheet, Reading


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
    told: Callable[[Any], Told]
    subject: str = ""
    permission: str = ""


KINDS = {
    "plan": "Plan",
    "work": "Work and hours",
    "checks": "Checks",
    "faults": "Faults",
    "money": "Quote and money",
    "handover": "Handover",
    "links": "Customer links",
}
PRICES, MONEY, WORK = "quotes.view_prices", "billing.view_money", "floor.view_work"


def _revisions(job: Job) -> QuerySet[Any]:
    return QuoteRevision.objects.without_content().filter(quote=job.quote_id)


def _changes(job: Job) -> QuerySet[Any]:
    return Change.objects.without_content().filter(job=job)


def _documents(job: Job) -> QuerySet[Any]:
    return Document.objects.defer("content").filter(job=job)


def _payments(job: Job) -> QuerySet[Any]:
    return Payment.objects.filter(job=job)


def _handovers(job: Job) -> QuerySet[Any]:
    return Handover.objects.defer("content").filter(job=job)


def _links(job: Job) -> QuerySet[Any]:
    return CustomerLink.objects.filter(job=job)


def _acts(job: Job) -> QuerySet[Any]:
    return LinkAct.objects.filter(link__job=job)


def _readings(job: Job) -> QuerySet[Any]:
    return Reading.objects.filter(check_row__job=job).select_related("check_row", "by")


def _battery(job: Job) -> QuerySet[Any]:
    return BatteryAct.objects.filter(job=job).select_related("by")


def _sheets(job: Job) -> QuerySet[Any]:
    return ProofSheet.objects.filter(job=job).select_related("made_by")


def _fault_events(job: Job) -> QuerySet[Any]:
    return FaultEvent.objects.filter(fault__job=job).select_related("fault", "by")


def _finder_steps(job: Job) -> QuerySet[Any]:
    return FinderStep.objects.filter(fault__job=job).select_related("fault", "by")


def _fault_tests(job: Job) -> QuerySet[Any]:
    return FaultTest.objects.filter(fault__job=job).select_related("fault", "by")


def _pressed(job: Job) -> QuerySet[Any]:
    """Hours that began with a press; those added by hand are told by their correction."""
    return HoursEntry.objects.filter(package__job=job, tap__isnull=False).select_related("package", "person", "fault")


def _corrections(job: Job) -> QuerySet[Any]:
    return HoursCorrection.objects.filter(entry__package__job=job).select_related(
        "entry__package", "entry__person", "by"
    )


def _ticks(job: Job) -> QuerySet[Any]:
    return Tick.objects.filter(package__job=job).select_related("package", "by", "undone_by")


def _plan_changes(job: Job) -> QuerySet[Any]:
    return PlanChange.objects.filter(plan=job.plan_id)


LOGS: tuple[Log, ...] = (
    Log("handover", _handovers, "released_at", words.released),
    Log("links", _acts, "at", words.link_act, "what"),
    Log("links", _links, "revoked_at", words.link_revoked),
    Log("links", _links, "made_at", words.link_made),
    Log("money", _payments, "booked_at", words.payment, "invoice__number", MONEY),
    Log("money", _documents, "issued_at", words.document, "number", MONEY),
    Log("money", _changes, "answered_at", words.change_answered, permission=MONEY),
    Log("money", _changes, "sent_at", words.change_sent, permission=MONEY),
    Log("money", _revisions, "accepted_at", words.quote_accepted, permission=PRICES),
    Log("money", _revisions, "declined_at", words.quote_declined, permission=PRICES),
    Log("money", _revisions, "sent_at", words.quote_sent, permission=PRICES),
    Log("faults", _fault_events, "at", words.fault_event, "fault__does"),
    Log("faults", _fault_tests, "at", words.fault_test, "fault__does"),
    Log("faults", _finder_steps, "at", words.finder_step, "fault__does"),
    Log("work", _corrections, "at", words.hours_corrected, "entry__package__section", WORK),
    Log("work", _pressed, "stopped_at", words.hours_stopped, "package__section", WORK),
    Log("work", _pressed, "started_at", words.hours_started, "package__section", WORK),
    Log("work", _ticks, "undone_at", words.tick_taken_back, "circuit", WORK),
    Log("work", _ticks, "at", words.ticked, "circuit", WORK),
    Log("checks", _battery, "at", words.battery),
    Log("checks", _readings, "at", words.reading, "check_row__what"),
    Log("checks", _sheets, "made_at", words.sheet_made),
    Log("plan", _plan_changes, "at", words.plan_change, "subject"),
)
