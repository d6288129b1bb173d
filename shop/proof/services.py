"""What can happen to a vehicle's proof. Each is one transaction; the same key twice is the same reading once."""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass, fields
from datetime import datetime

from django.db import transaction

from circuits.errors import LoomwrightError, QuantityError
from circuits.planning.store import sized_plan
from shop.faults.models import Fault, Weight
from shop.faults.services import Symptom, Tried, add_test, raise_fault, reopen
from shop.jobs.models import Job
from shop.people.models import User
from shop.proof.checks import Check, check_sheet
from shop.proof.judging import is_within, limits_in_words, read_value
from shop.proof.limits import Limit
from shop.proof.models import BatteryAct, CheckRow, LimitRow, ProofSheet, Reading
from shop.proof.selectors import proof_state, shop_limits

OVERRIDE = "proof.override_lock"
MAX_ORIGIN = 120
FOR_SHEET = tuple(field.name for field in fields(Check) if field.name != "key")


class LockedError(LoomwrightError, ValueError):
    """Power is refused. ``reasons`` says why."""

    def __init__(self, *reasons: str) -> None:
        self.reasons = reasons
        super().__init__("\n".join(reasons))


@dataclass(frozen=True, slots=True)
class Told:
    """What was read at a check: text with its unit, or passed or not where it is looked at."""

    typed: str = ""
    passed: bool | None = None
    meter: str = ""
    remark: str = ""


@transaction.atomic
def make_sheet(*, job: Job, by: User, at: datetime) -> ProofSheet:
    """Make the check sheet from today's plan. A line that was there keeps its readings.

    Raises
    ------
    LockedError
        Where the plan has no wire to prove.
    """
    Job.objects.select_for_update().get(pk=job.pk)
    job.plan.refresh_from_db()
    checks = check_sheet(sized_plan(job.plan), shop_limits())
    if not checks:
        raise LockedError("The plan has no wire yet: enter circuits and runs first.")
    present = {row.key: row for row in CheckRow.objects.filter(job=job)}
    for position, check in enumerate(checks):
        row = present.pop(check.key, None) or CheckRow(job=job, key=check.key)
        for name in FOR_SHEET:
            setattr(row, name, getattr(check, name))
        row.circuits, row.position, row.is_current = list(check.circuits), position, True
        row.save()
    for row in present.values():
        row.is_current = False
        row.save(update_fields=["is_current"])
    values = {"plan_version": job.plan.version, "made_at": at, "made_by": by}
    return ProofSheet.objects.update_or_create(job=job, defaults=values)[0]


@transaction.atomic
def record_reading(*, check: CheckRow, told: Told, by: User, at: datetime, key: str) -> Reading:
    """Keep a reading, judge it, and open a fault where it fails.

    Raises
    ------
    LockedError
        A reading that needs power, while the vehicle may not have it.
    QuantityError
        Text that is no quantity of the check's unit.
    """
    job = Job.objects.select_for_update().select_related("plan").get(pk=check.job_id)
    known = Reading.objects.filter(key=key).first()
    if known is not None:
        if (known.check_row_id, known.typed) != (check.pk, told.typed.strip() if check.unit else ""):
            raise LockedError("This form was sent before with something else in it. Load the page again.")
        return known
    check = CheckRow.objects.select_related("latest").get(pk=check.pk)
    _refuse_without_power(job, check)
    value = read_value(told.typed, check.unit) if check.unit else None
    if value is None and told.passed is None:
        raise QuantityError("found nothing, expected passed or failed", expected="passed or failed")
    passed = is_within(value, check.low, check.high) if value is not None else bool(told.passed)
    is_latest = check.latest is None or at >= check.latest.at
    reading = Reading(
        check_row=check,
        typed=told.typed.strip() if check.unit else "",
        value=None if value is None or math.isinf(value) else value,
        passed=passed,
        low=check.low,
        high=check.high,
        remark=told.remark.strip(),
        meter=told.meter.strip(),
        key=key,
        at=at,
        by=by,
    )
    if is_latest:
        reading.fault = _follow(job, check, reading)
    reading.full_clean()
    reading.save()
    if is_latest:
        check.latest = reading
        check.save(update_fields=["latest"])
    return reading


def _refuse_without_power(job: Job, check: CheckRow) -> None:
    if check.is_before_power:
        return
    state = proof_state(job)
    if check.is_before_battery and not state.may_feed:
        raise LockedError("No source may be connected yet.", *state.missing_for_source)
    if not check.is_before_battery and not state.is_on:
        raise LockedError("The battery is not connected yet.", *state.missing)


def _follow(job: Job, check: CheckRow, reading: Reading) -> Fault | None:
    """The fault of this check, opened, opened again or tested, as the reading asks for."""
    fault = Fault.objects.filter(job=job, origin=_origin(check)).first()
    words = f"{check.what}: {reading.typed or ('passed' if reading.passed else 'failed')}"
    if fault is None:
        return None if reading.passed else _open_fault(job, check, reading)
    if not fault.is_open:
        if reading.passed:
            return None
        reopen(fault=fault, why=words, by=reading.by, at=reading.at)
    evidence = reading.typed or reading.remark or "by eye"
    tried = Tried(what=words[:300], reading=evidence[:60], value=reading.value, unit=check.unit, passed=reading.passed)
    add_test(fault=fault, tried=tried, by=reading.by, at=reading.at, key=f"r{reading.key}"[:40])
    return fault


def _origin(check: CheckRow) -> str:
    """The check's key as a fault can hold it, still its own where it is long."""
    if len(check.key) <= MAX_ORIGIN:
        return check.key
    return f"{check.key[:80]} {hashlib.sha256(check.key.encode()).hexdigest()[:24]}"


def _open_fault(job: Job, check: CheckRow, reading: Reading) -> Fault:
    found = f"reads {reading.typed}" if reading.typed else "does not pass"
    symptom = Symptom(
        does=f"{check.what} {found}"[:300],
        should=(limits_in_words(check.low, check.high, check.unit) or "passes")[:300],
        switches=check.how[:200],
        circuits=tuple(check.circuits),
        weight=Weight.DANGER if check.endangers or check.is_before_battery else Weight.STOPS,
        suspects=reading.remark,
    )
    key = f"c{reading.key}"[:40]
    return raise_fault(job=job, symptom=symptom, by=reading.by, at=reading.at, key=key, origin=_origin(check))


@transaction.atomic
def connect_battery(*, job: Job, by: User, at: datetime, override_reason: str = "") -> BatteryAct:
    """Connect the battery, once every check before it has passed; or by an owner's override.

    Parameters
    ----------
    job : Job
    by : User
    at : datetime
    override_reason : str
        Why it goes on although something is missing. Only who may override; kept for the handover sheet.

    Raises
    ------
    LockedError
        With everything that is missing.
    """
    job = Job.objects.select_for_update().select_related("plan").get(pk=job.pk)
    state = proof_state(job)
    if state.is_on:
        return state.acts[-1]
    reason = override_reason.strip()
    if state.missing and not reason:
        raise LockedError(*state.missing)
    if state.missing and not by.has_perm(OVERRIDE):
        raise LockedError("Only an owner may connect the battery although checks are missing.", *state.missing)
    is_override = bool(state.missing)
    act = BatteryAct(
        job=job, is_on=True, is_override=is_override, reason=reason if is_override else "",
        missing=list(state.missing), at=at, by=by,
    )  # fmt: skip
    act.full_clean()
    act.save()
    return act


@transaction.atomic
def take_battery_off(*, job: Job, by: User, at: datetime) -> BatteryAct | None:
    """Note that the battery is off the vehicle again; None where it was not on."""
    Job.objects.select_for_update().get(pk=job.pk)
    last = BatteryAct.objects.filter(job=job).last()
    if last is None or not last.is_on:
        return None
    return BatteryAct.objects.create(job=job, is_on=False, at=at, by=by)


@transaction.atomic
def store_limits(*, limits: tuple[Limit, ...]) -> None:
    """Store the shop's own limits; a limit that says what the packaged one says is not stored.

    Sheets already made keep theirs until they are made anew.
    """
    LimitRow.objects.all().delete()
    own = [limit for limit in limits if limit.source == "the shop's own"]
    LimitRow.objects.bulk_create(LimitRow(name=limit.name, low=limit.low, high=limit.high) for limit in own)
