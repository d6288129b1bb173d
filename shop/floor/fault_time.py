"""Time spent on a fault, from hours booked to it; and the package that such hours belong to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from circuits.harness.order import WorkStage
from shop.faults.models import Fault
from shop.floor.models import HoursEntry, Package
from shop.floor.selectors import minutes_of
from shop.people.models import User


@dataclass(frozen=True, slots=True)
class FaultTime:
    """Hours booked to a fault, newest first, and in all."""

    entries: tuple[HoursEntry, ...]
    minutes: float
    at_work: tuple[User, ...]


def fault_time(fault: Fault, now: datetime) -> FaultTime:
    """Time spent on a fault; what runs counts until now. One query.

    Parameters
    ----------
    fault : Fault
    now : datetime
    """
    entries = tuple(HoursEntry.objects.filter(fault=fault, is_struck=False).select_related("person"))
    at_work = tuple(entry.person for entry in entries if entry.stopped_at is None)
    return FaultTime(entries, sum(minutes_of(entry, now) for entry in entries), at_work)


def package_for(fault: Fault) -> Package | None:
    """The package that hours on a fault are booked to: proving its circuits, else what is proved or done last.

    None where no work is laid out. One query.
    """
    rows = list(Package.objects.filter(job=fault.job_id, is_current=True).order_by("position"))
    mine = set(fault.circuits)
    proving = [row for row in rows if row.stage == WorkStage.PROVE]
    found = [row for row in proving if mine & set(row.circuits)][:1] or proving[-1:] or rows[-1:]
    return found[0] if found else None
