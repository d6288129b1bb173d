"""Hours set right by hand: always with a reason, and what they said before is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from circuits.errors import LoomwrightError
from shop.floor.models import HoursCorrection, HoursEntry, Package
from shop.floor.services import settle_hours
from shop.people.models import User

CORRECT_ALL = "floor.correct_hours"


class HoursError(LoomwrightError, ValueError):
    """Hours that cannot have been worked."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What the entry should say. ``stop`` None = still running; ``is_struck`` = it counts no time."""

    package: Package
    start: datetime
    stop: datetime | None
    is_struck: bool = False


@transaction.atomic
def correct(*, entry: HoursEntry, worked: Worked, reason: str, by: User, at: datetime) -> HoursEntry:
    """Set an entry right.

    Raises
    ------
    HoursError
        Without a reason; for times that run backwards, lie ahead or overlap another entry of the same person.
    django.core.exceptions.PermissionDenied
        Somebody else's hours, by a person who may not.
    """
    User.objects.select_for_update().get(pk=entry.person_id)
    entry = HoursEntry.objects.get(pk=entry.pk)
    _check(entry.person, worked, reason, by, at, except_for=entry.pk)
    was = {
        "package": str(entry.package),
        "start": entry.started_at.isoformat(),
        "stop": entry.stopped_at.isoformat() if entry.stopped_at else None,
        "struck": entry.is_struck,
    }
    HoursCorrection.objects.create(entry=entry, reason=reason.strip()[:300], was=was, at=at, by=by)
    entry.package, entry.started_at, entry.stopped_at = worked.package, worked.start, worked.stop
    entry.is_corrected, entry.is_struck = True, worked.is_struck
    if worked.is_struck:
        entry.stopped_at = worked.stop or max(worked.start, at)
    entry.save()
    settle_hours(entry.person, since=min(entry.started_at, entry.tap.at if entry.tap else entry.started_at))
    return entry


@transaction.atomic
def add_by_hand(*, person: User, worked: Worked, reason: str, by: User, at: datetime) -> HoursEntry:
    """Add hours that nobody started, with a reason.

    Raises
    ------
    HoursError, django.core.exceptions.PermissionDenied
        As for a correction; and for hours without an end.
    """
    User.objects.select_for_update().get(pk=person.pk)
    if worked.stop is None:
        raise HoursError("Hours added by hand need an end.")
    _check(person, worked, reason, by, at)
    entry = HoursEntry.objects.create(
        package=worked.package, person=person, started_at=worked.start, stopped_at=worked.stop, is_corrected=True
    )
    HoursCorrection.objects.create(entry=entry, reason=reason.strip()[:300], was={}, at=at, by=by)
    return entry


def _check(person: User, worked: Worked, reason: str, by: User, at: datetime, except_for: int | None = None) -> None:
    if by.pk != person.pk and not by.has_perm(CORRECT_ALL):
        raise PermissionDenied("Hours of others are corrected by the office or the owner.")
    if not reason.strip():
        raise HoursError("Say why the hours are corrected.")
    stop = worked.stop
    if stop is not None and stop <= worked.start:
        raise HoursError(f"The end, {_clock(stop)}, is not after the start, {_clock(worked.start)}.")
    if worked.start > at or (stop is not None and stop > at):
        raise HoursError("Hours cannot lie ahead.")
    if worked.is_struck:
        return
    others = HoursEntry.objects.filter(person=person, is_struck=False)
    if except_for is not None:
        others = others.exclude(pk=except_for)
    others = others.exclude(stopped_at__lte=worked.start)
    if stop is not None:
        others = others.filter(started_at__lt=stop)
    other = others.select_related("package").first()
    if other is not None:
        until = _clock(other.stopped_at) if other.stopped_at else "now"
        raise HoursError(
            f"{person} was on {other.package} from {_clock(other.started_at)} to {until}: mend that first."
        )


def _clock(moment: datetime) -> str:
    return f"{timezone.localtime(moment):%d %b %H:%M}"
