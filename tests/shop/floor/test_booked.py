"""What an invoice from hours asks the floor."""

from __future__ import annotations

from decimal import Decimal

from shop.billing.seams import booked_hours
from shop.floor.corrections import Worked, correct
from shop.floor.models import HoursEntry
from tests.shop.floor.cast import hour, package, tap


def test_hours_come_by_section_stopped_and_not_struck(job, tessa, bo):
    pull, term, rear = package(job, "pull", "front"), package(job, "terminate", "front"), package(job, "pull", "rear")
    tap(tessa, "start", hour(0), pull)
    tap(tessa, "start", hour(1.5), term)
    tap(tessa, "start", hour(2), rear)
    tap(tessa, "stop", hour(3))
    tap(bo, "start", hour(0), rear)
    found = {one.section: one.hours for one in booked_hours(job.pk)}
    assert found == {"front": Decimal("2.00"), "rear": Decimal("1.00")}
    entry = HoursEntry.objects.get(package=term)
    correct(entry=entry, worked=Worked(term, hour(1.5), hour(2), True), reason="tea", by=tessa, at=hour(4))
    assert booked_hours(job.pk)[0].hours == Decimal("1.50")
