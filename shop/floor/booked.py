"""Hours booked to a job, as an invoice from hours asks for them. ``LOOMWRIGHT_BOOKED_HOURS`` names ``booked_hours``."""

from __future__ import annotations

from decimal import Decimal

from shop.billing.seams import BookedHours
from shop.floor.models import HoursEntry

HUNDREDTH = Decimal("0.01")


def booked_hours(job_id: int) -> tuple[BookedHours, ...]:
    """Hours of each section in the order of work, to a hundredth; what still runs counts when it is stopped.

    One query.
    """
    entries = HoursEntry.objects.filter(package__job=job_id, is_struck=False, stopped_at__isnull=False)
    seconds: dict[str, float] = {}
    for section, start, stop in entries.order_by("package__position", "started_at").values_list(
        "package__section", "started_at", "stopped_at"
    ):
        if stop is not None:
            seconds[section] = seconds.get(section, 0.0) + (stop - start).total_seconds()
    return tuple(
        BookedHours(section, (Decimal(round(spent)) / 3600).quantize(HUNDREDTH)) for section, spent in seconds.items()
    )
