"""What billing asks of the workshop floor: hours booked to a job. A setting names the function that knows them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from django.conf import settings
from django.utils.module_loading import import_string


@dataclass(frozen=True, slots=True)
class BookedHours:
    """Hours booked to a part of a job so far, all of them, invoiced or not.

    Parameters
    ----------
    section : str
        As the invoice names it, e.g. a section of the vehicle.
    hours : Decimal
        Since the job began [h], 0 or more.
    """

    section: str
    hours: Decimal


def booked_hours(job_id: int) -> tuple[BookedHours, ...]:
    """Hours booked to a job, from the function that ``LOOMWRIGHT_BOOKED_HOURS`` names; none where none is named.

    The function takes the key of a job and answers ``BookedHours``, each section once.
    """
    name = getattr(settings, "LOOMWRIGHT_BOOKED_HOURS", "")
    if not name:
        return ()
    ask: Callable[[int], tuple[BookedHours, ...]] = import_string(name)
    return tuple(ask(job_id))
