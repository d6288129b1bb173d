"""Run as a program: many taps at once. Prints what came of it as JSON. The database must be empty."""

from __future__ import annotations

import json
from functools import partial
from typing import Any

from tests.servers.races import at_once

ROUNDS = 5
TAPS = 6


def main() -> dict[str, Any]:
    """All races; the counts of what is left."""
    import django

    django.setup()
    from django.core.management import call_command
    from django.db.models import Count

    from shop.faults.models import Fault, Weight
    from shop.faults.services import Symptom, raise_fault
    from shop.floor.models import HoursEntry, Package, Tap, Tick
    from shop.proof.models import BatteryAct, CheckRow, Reading
    from shop.proof.services import Told, connect_battery, make_sheet, record_reading
    from tests.shop.floor import cast

    call_command("migrate", verbosity=0)
    job, tessa, owner = cast.booked_job(), cast.member("tessa"), cast.member("wilma", "owner")
    packages = list(Package.objects.filter(job=job)[:TAPS])
    told: dict[str, Any] = {"start": [], "same": [], "running": []}
    for n in range(ROUNDS):
        at = cast.hour(n)
        told["start"].append(at_once(*(partial(cast.tap, tessa, "start", at, package) for package in packages)))
        told["running"].append(HoursEntry.objects.running().filter(person=tessa).count())
        told["same"].append(
            at_once(*[partial(cast.tap, tessa, "start", cast.hour(n + 0.5), packages[0], key=f"samekey{n}")] * 4)
        )
    told["doubled"] = Tap.objects.values("key").annotate(n=Count("pk")).filter(n__gt=1).count()
    pull = cast.package(job, "pull", "front")
    told["tick"] = at_once(*[partial(cast.tap, tessa, "tick", cast.hour(9), pull, "horn")] * 5)
    told["ticks"] = [Tick.objects.count(), Package.objects.get(pk=pull.pk).done]
    make_sheet(job=job, by=tessa, at=cast.hour(0))
    check = CheckRow.objects.get(job=job, key="ground dash")

    def fail(n: int) -> None:
        record_reading(check=check, told=Told("3 ohm"), by=tessa, at=cast.hour(n), key=f"reading{n}")

    told["fail"] = at_once(*(partial(fail, n) for n in range(5)))
    told["faults"] = [Fault.objects.count(), Reading.objects.count()]
    connect = partial(connect_battery, job=job, by=owner, at=cast.hour(9), override_reason="race")
    told["connect"] = at_once(*[connect] * 4)
    told["acts"] = BatteryAct.objects.count()
    symptom = Symptom("x", Weight.COMFORT)
    told["raise"] = at_once(
        *(
            partial(raise_fault, job=job, symptom=symptom, by=tessa, at=cast.hour(9), key=f"faultkey{n}")
            for n in range(6)
        )
    )
    told["numbers"] = sorted(Fault.objects.values_list("number", flat=True))
    return told


if __name__ == "__main__":
    print(json.dumps(main()))
