"""Reads that the pages of the punch list share."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from circuits.planning.models import CircuitRow
from shop.faults.models import Fault, FaultEvent, FaultPhoto, FaultTest
from shop.jobs.models import Job


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a fault's history: a test or an event."""

    at: datetime
    by: str
    words: str
    test: FaultTest | None = None


@dataclass(frozen=True, slots=True)
class FaultStory:
    """A fault with its history, oldest first, and the minutes spent on it."""

    fault: Fault
    photos: tuple[FaultPhoto, ...]
    lines: tuple[Line, ...]
    minutes: int
    has_passed: bool


def circuit_names(job: Job) -> list[str]:
    """Circuits of the job's plan, in plan order."""
    return list(CircuitRow.objects.filter(plan=job.plan_id).order_by("position").values_list("name", flat=True))


def switch_words(job: Job) -> list[str]:
    """Switches that the plan names, once each, with their positions."""
    rows = CircuitRow.objects.filter(plan=job.plan_id).exclude(switch="").order_by("position")
    return list(dict.fromkeys(rows.values_list("switch", flat=True)))


def fault_story(fault: Fault) -> FaultStory:
    """The fault with everything that happened to it. Four queries."""
    tests = tuple(fault.tests.select_related("by", "photo"))
    events = tuple(fault.events.select_related("by"))
    lines = [Line(test.at, str(test.by), test.what, test) for test in tests]
    lines += [Line(event.at, str(event.by), _told(event)) for event in events]
    lines += [Line(step.at, str(step.by), f"{step.words} {step.answer}") for step in fault.steps.select_related("by")]
    opened = [event.at for event in events if event.what in (FaultEvent.What.RAISED, FaultEvent.What.REOPENED)]
    retests = [test for test in tests if test.is_retest and (not opened or test.at >= opened[-1])]
    return FaultStory(
        fault,
        tuple(fault.photos.defer("jpeg")),
        tuple(sorted(lines, key=lambda line: line.at)),
        sum(test.minutes for test in tests),
        bool(retests and retests[-1].passed),
    )


def _told(event: FaultEvent) -> str:
    return f"{event.get_what_display()}. {event.words}".strip()
