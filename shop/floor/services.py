"""What people do at the vehicle: start, stop, tick, hold. Each is one transaction; a key sent twice acts once."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db import transaction

from circuits.errors import LoomwrightError
from shop.faults.models import Fault
from shop.floor.models import Hold, HoursEntry, Package, Tap, Tick
from shop.floor.replay import Press, Span, clipped, spans
from shop.people.models import User

LOOK_BACK = timedelta(days=62)
HOURS = (Tap.Act.START, Tap.Act.STOP)


class PressError(LoomwrightError, ValueError):
    """A press that names what the package does not have."""


@transaction.atomic
def press(
    *, act: Tap.Act, person: User, at: datetime, key: str, came_at: datetime,
    package: Package | None = None, circuit: str = "", fault: Fault | None = None,
) -> Tap:  # fmt: skip
    """Take a press: start or stop hours, tick a circuit or take the tick back.

    Parameters
    ----------
    act : Tap.Act
    person : User
        Who pressed. Starting on one package stops what this person ran before.
    at : datetime
        When it was pressed, at the vehicle; it may be long ago.
    key : str
        Of the press; the same again changes nothing.
    came_at : datetime
        Now.
    package : Package or None
        None for a stop.
    circuit : str
        What is ticked; empty where the package is one tick.
    fault : Fault or None
        Which fault is started on, of the package's vehicle.

    Raises
    ------
    PressError
        A circuit that is not of the package, a fault of another vehicle, or an act without its package.
    """
    User.objects.select_for_update().get(pk=person.pk)
    known = Tap.objects.filter(key=key).first()
    if known is not None:
        return known
    if package is None and act is not Tap.Act.STOP:
        raise PressError("Say on which package.")
    if act not in HOURS and package is not None and circuit not in package.to_tick:
        raise PressError(f"{package} has no circuit {circuit!r}: load the page again.")
    if fault is not None and package is not None and fault.job_id != package.job_id:
        raise PressError(f"{fault} is of another vehicle than {package}.")
    tap = Tap.objects.create(
        key=key, act=act, package=None if act is Tap.Act.STOP else package, circuit=circuit,
        fault=fault if act is Tap.Act.START else None, person=person, at=at, came_at=came_at,
    )  # fmt: skip
    if act in HOURS:
        settle_hours(person, since=at)
    elif package is not None:
        _settle_tick(tap, package)
    return tap


def settle_hours(person: User, since: datetime) -> None:
    """Make the person's entries say what the presses say. Times that somebody set by hand stand."""
    taps = Tap.objects.filter(person=person, act__in=HOURS, at__gte=since - LOOK_BACK)
    by_key = {tap.key: tap for tap in taps}
    presses = [
        Press(tap.key, tap.at, *((tap.package_id, tap.fault_id) if tap.act == Tap.Act.START else (None,)))
        for tap in taps
    ]
    entries = {entry.tap_id: entry for entry in HoursEntry.objects.filter(tap__in=taps)}
    by_hand = HoursEntry.objects.filter(person=person, is_corrected=True, is_struck=False)
    fixed = list(by_hand.values_list("started_at", "stopped_at"))
    found = {by_key[span.press].pk: span for span in spans(presses)}
    for tap_id, entry in entries.items():
        if tap_id not in found and not entry.is_corrected:
            entry.delete()
    for tap_id, span in found.items():
        _settle_span(span, entries.get(tap_id) or HoursEntry(tap_id=tap_id, person=person), fixed)


def _settle_span(span: Span, entry: HoursEntry, fixed: list[tuple[datetime, datetime | None]]) -> None:
    """Make one entry say what its presses say, around the times set by hand."""
    if entry.is_corrected:
        if entry.stopped_at is None and span.stop is not None:
            entry.stopped_at = max(entry.started_at, span.stop)
            entry.save()
        return
    left = clipped(span, fixed)
    if left is not None:
        entry.package_id, entry.fault_id = left.package, left.fault
        entry.started_at, entry.stopped_at = left.start, left.stop
        entry.save()
    elif entry.pk is not None:
        entry.delete()


def _settle_tick(tap: Tap, package: Package) -> None:
    """Tick or take back, unless a later press on the same circuit has come in already."""
    later = Tap.objects.filter(
        package=package, circuit=tap.circuit, act__in=(Tap.Act.TICK, Tap.Act.UNTICK), at__gt=tap.at
    )
    package = Package.objects.select_for_update().get(pk=package.pk)
    if later.exists():
        return
    standing = Tick.objects.filter(package=package, circuit=tap.circuit, undone_at__isnull=True).first()
    if tap.act == Tap.Act.TICK and standing is None:
        Tick.objects.create(package=package, circuit=tap.circuit, at=tap.at, by=tap.person)
    if tap.act == Tap.Act.UNTICK and standing is not None:
        standing.undone_at, standing.undone_by = tap.at, tap.person
        standing.save()
    count_ticks(package)


def count_ticks(package: Package) -> None:
    """Store how many of the package's circuits are ticked."""
    ticked = set(Tick.objects.filter(package=package, undone_at__isnull=True).values_list("circuit", flat=True))
    package.done = len(ticked & set(package.to_tick))
    package.save(update_fields=["done"])


@transaction.atomic
def hold(*, package: Package, cause: str, words: str, by: User, at: datetime) -> Hold:
    """Note that a package waits for something the plan cannot know.

    Raises
    ------
    django.core.exceptions.ValidationError
        For an unknown cause, or too many words.
    """
    row = Hold(package=package, cause=cause, words=words.strip(), by=by, since=at)
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def lift(*, hold: Hold, by: User, at: datetime) -> Hold:
    """Note that a package waits no longer."""
    hold = Hold.objects.select_for_update().get(pk=hold.pk)
    if hold.lifted_at is None:
        hold.lifted_at, hold.lifted_by = at, by
        hold.save()
    return hold


@transaction.atomic
def assign(*, package: Package, person: User | None) -> None:
    """Say who does a package; None = nobody yet."""
    package.person = person
    package.save(update_fields=["person"])
