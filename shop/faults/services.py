"""What can happen to a fault. Each is one transaction; the same key twice is the same act once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max

from circuits.errors import LoomwrightError
from shop.faults.models import Fault, FaultEvent, FaultPhoto, FaultTest, Weight
from shop.faults.photos import Photo
from shop.jobs.models import Job
from shop.people.models import User

What = FaultEvent.What
TOLD = {"cause": "the cause", "remedy": "the remedy"}


class FaultError(LoomwrightError, ValueError):
    """An act that the fault's state does not allow; says what is missing."""


@dataclass(frozen=True, slots=True)
class Symptom:
    """What somebody saw at the vehicle, in named switch states."""

    does: str
    weight: str
    switches: str = ""
    should: str = ""
    circuits: tuple[str, ...] = ()
    suspects: str = ""


@dataclass(frozen=True, slots=True)
class Tried:
    """A test as it was made. ``passed`` only where it is the re-test."""

    what: str
    reading: str = ""
    value: float | None = None
    unit: str = ""
    passed: bool | None = None
    minutes: int = 0
    photo: Photo | None = field(default=None, repr=False)


@transaction.atomic
def raise_fault(
    *, job: Job, symptom: Symptom, by: User, at: datetime, key: str, photos: Sequence[Photo] = (), origin: str = ""
) -> Fault:
    """Raise a fault. The same key again gives the fault that it made.

    Raises
    ------
    django.core.exceptions.ValidationError
        For a text that is missing or too long.
    """
    Job.objects.select_for_update().get(pk=job.pk)
    known = Fault.objects.filter(key=key).first()
    if known is not None:
        return known
    last = Fault.objects.filter(job=job).aggregate(last=Max("number"))["last"] or 0
    fault = Fault(
        job=job,
        number=last + 1,
        does=symptom.does.strip(),
        should=symptom.should.strip(),
        switches=symptom.switches.strip(),
        circuits=list(symptom.circuits),
        weight=symptom.weight,
        suspects=symptom.suspects,
        origin=origin,
        key=key,
        raised_at=at,
        raised_by=by,
    )
    fault.full_clean()
    fault.save()
    for photo in photos:
        _add_photo(fault, photo, by, at)
    _note(fault, What.RAISED, f"{fault.get_weight_display()}: {fault.does}", by, at)
    return fault


@transaction.atomic
def describe(*, fault: Fault, changes: dict[str, Any], by: User, at: datetime) -> Fault:
    """Change what is said of a fault; the history keeps what was said before."""
    fault = _held(fault)
    said = []
    for name, value in changes.items():
        before = getattr(fault, name)
        if before != value:
            setattr(fault, name, value)
            label = Weight(before).label if name == "weight" else before
            said.append(f"{name} was: {label or 'empty'}")
    if fault.closed_at is not None and any(name in changes for name in ("cause", "remedy", "weight")) and said:
        raise FaultError(f"Fault {fault.number} is closed. Open it again to change what is said of it.")
    fault.full_clean()
    fault.save()
    if said:
        _note(fault, What.DESCRIBED, "\n".join(said), by, at)
    return fault


@transaction.atomic
def add_photo(*, fault: Fault, photo: Photo, by: User, at: datetime) -> FaultPhoto:
    """Put a photograph to a fault."""
    return _add_photo(_held(fault), photo, by, at)


@transaction.atomic
def add_test(*, fault: Fault, tried: Tried, by: User, at: datetime, key: str) -> FaultTest:
    """Note a test, or the re-test where it says whether it passed. A failed re-test leaves the fault open.

    Raises
    ------
    FaultError
        A re-test without evidence, i.e. without a reading or a photograph.
    """
    fault = _held(fault)
    known = FaultTest.objects.filter(key=key).first()
    if known is not None:
        return known
    if tried.passed is not None and not (tried.reading or tried.photo):
        raise FaultError("A re-test needs evidence: a reading with its unit, or a photograph.")
    test = FaultTest(
        fault=fault,
        what=tried.what.strip(),
        reading=tried.reading,
        value=tried.value,
        unit=tried.unit,
        is_retest=tried.passed is not None,
        passed=tried.passed,
        minutes=tried.minutes,
        photo=_add_photo(fault, tried.photo, by, at) if tried.photo else None,
        key=key,
        at=at,
        by=by,
    )
    test.full_clean()
    test.save()
    return test


@transaction.atomic
def close(*, fault: Fault, cause: str, remedy: str, by: User, at: datetime, cause_kind: str = "") -> Fault:
    """Close a fault. Its kind of cause is counted by the fault finder.

    Raises
    ------
    FaultError
        Without a cause, a remedy, or a re-test that passed after the fault was last opened and failed none since.
    """
    fault = _held(fault)
    if fault.closed_at is not None:
        return fault
    missing = [words for name, words in TOLD.items() if not {"cause": cause, "remedy": remedy}[name].strip()]
    if missing:
        raise FaultError(f"Say {' and '.join(missing)} before the fault is closed.")
    if not has_passed(fault):
        raise FaultError("Closing needs a re-test that passed. Make it in the switch states of the symptom.")
    fault.cause, fault.remedy, fault.closed_at = cause.strip(), remedy.strip(), at
    fault.cause_kind = cause_kind
    fault.full_clean()
    fault.save()
    _note(fault, What.CLOSED, f"Cause: {fault.cause}\nRemedy: {fault.remedy}", by, at)
    return fault


@transaction.atomic
def reopen(*, fault: Fault, why: str, by: User, at: datetime) -> Fault:
    """Open a closed fault again; its cause, remedy and tests stay in its history.

    Raises
    ------
    FaultError
        Without a reason.
    """
    fault = _held(fault)
    if fault.closed_at is None:
        return fault
    if not why.strip():
        raise FaultError("Say what showed that the fault is back.")
    fault.closed_at = None
    fault.save(update_fields=["closed_at"])
    _note(fault, What.REOPENED, why.strip(), by, at)
    return fault


def has_passed(fault: Fault) -> bool:
    """True where the latest re-test since the fault was last opened passed."""
    opened = fault.events.filter(what__in=(What.RAISED, What.REOPENED)).order_by("pk").last()
    retests = fault.tests.filter(is_retest=True)
    if opened is not None:
        retests = retests.filter(at__gte=opened.at)
    last = retests.order_by("at", "pk").last()
    return bool(last and last.passed)


def _held(fault: Fault) -> Fault:
    """The fault's row, locked until the transaction ends."""
    return Fault.objects.select_for_update().get(pk=fault.pk)


def _note(fault: Fault, what: FaultEvent.What, words: str, by: User, at: datetime) -> None:
    FaultEvent.objects.create(fault=fault, what=what, words=words, by=by, at=at)


def _add_photo(fault: Fault, photo: Photo, by: User, at: datetime) -> FaultPhoto:
    return FaultPhoto.objects.create(
        fault=fault, jpeg=photo.jpeg, width=photo.width, height=photo.height, by=by, taken_at=at
    )
