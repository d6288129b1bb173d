"""Invented readings of a vehicle under proof: around what is expected, one ground point bad at first."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from shop.floor.queued import new_key
from shop.jobs.models import Job
from shop.people.models import User
from shop.proof.checks import Group
from shop.proof.models import CheckRow
from shop.proof.services import Told, connect_battery, make_sheet, record_reading

METER = "bench multimeter no. 2"
SPREAD = (0.97, 1.04, 0.93, 1.01, 1.08)
ON_READ = 9
"""Circuits of the demo that have been switched on so far."""


def prove_the_demo(*, job: Job, tessa: User, wilma: User, at: datetime) -> None:
    """Make the sheet, pass what comes before the battery, connect it, and begin with the circuits."""
    make_sheet(job=job, by=wilma, at=at)
    rows = list(CheckRow.objects.filter(job=job))
    before = [row for row in rows if row.is_before_battery]
    bad = [row for row in before if row.group == Group.GROUNDS][-1]
    clock = at
    for number, row in enumerate(before):
        clock += timedelta(minutes=1)
        if row == bad:
            _read(row, "1.9 ohm", tessa, clock)
        _read(row, good_reading(row, number), tessa, clock + timedelta(seconds=20))
    connect_battery(job=job, by=wilma, at=clock + timedelta(minutes=5))
    for number, row in enumerate([row for row in rows if row.group in (Group.KEY_OFF, Group.ON)][:ON_READ]):
        clock += timedelta(minutes=2)
        _read(row, good_reading(row, number), tessa, clock + timedelta(minutes=5))


def _read(row: CheckRow, typed: str, by: User, at: datetime) -> None:
    told = Told(typed=typed, passed=None if row.unit else True, meter=METER)
    record_reading(check=row, told=told, by=by, at=at, key=new_key())


def good_reading(row: CheckRow, number: int) -> str:
    """A reading that passes, as it would be typed."""
    if not row.unit:
        return ""
    share = SPREAD[number % len(SPREAD)]
    is_open_line = row.expected == math.inf or (row.high is None and (row.low or 0) > 1000)
    if row.unit == "ohm" and is_open_line:
        return "OL"
    if row.low is not None and row.high is not None:
        value = (row.expected or (row.low + row.high) / 2) * share
        value = min(max(value, row.low), row.high)
    elif row.low is not None:
        value = row.expected or row.low * (1.02 if row.unit == "V" else 4) * max(1.0, share)
    else:
        value = (row.high or 0.0) * 0.4 * share
    return f"{value:.3g} {row.unit}"
