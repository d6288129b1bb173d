"""Readings, the battery's lock, overrides and what keeps a vehicle in the shop."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from circuits.errors import QuantityError
from circuits.planning.store import replace_plan
from shop.faults.models import Fault, Weight
from shop.faults.services import Symptom, close, raise_fault
from shop.floor.queued import new_key
from shop.proof.judging import Verdict
from shop.proof.limits import packaged_limits
from shop.proof.models import BatteryAct, CheckRow, Reading
from shop.proof.selectors import CHANGED, NO_SHEET, proof_state, release_reasons
from shop.proof.services import (
    LockedError,
    Told,
    connect_battery,
    make_sheet,
    record_reading,
    store_limits,
    take_battery_off,
)
from tests.shop.floor import cast
from tests.shop.floor.cast import hour


@pytest.fixture
def sheet(job, tessa):
    make_sheet(job=job, by=tessa, at=hour(0))
    return job


def check(job, key: str) -> CheckRow:
    return CheckRow.objects.get(job=job, key=key)


def read(job, key: str, typed: str = "", *, by, at=1.0, passed=True, sent: str = "") -> Reading:
    told = Told(typed=typed, passed=None if typed else passed, meter="bench meter")
    return record_reading(check=check(job, key), told=told, by=by, at=hour(at), key=sent or new_key())


def good(row: CheckRow) -> str:
    """A reading that passes."""
    if not row.unit:
        return ""
    if row.low is not None and row.high is not None:
        return f"{(row.low + row.high) / 2} {row.unit}"
    return f"{row.low * 2} {row.unit}" if row.low is not None else f"{(row.high or 0) / 2} {row.unit}"


def pass_all(job, by, *, before_battery: bool = True) -> None:
    for row in CheckRow.objects.filter(job=job, is_current=True):
        if row.is_before_battery or not before_battery:
            read(job, row.key, good(row), by=by)


def test_a_reading_is_judged_and_kept_with_who_when_and_by_which_meter(sheet, tessa):
    kept = read(sheet, "ground dash", "20 mohm", by=tessa)
    assert kept.passed
    assert (kept.value, kept.typed, kept.by, kept.at, kept.meter) == (0.02, "20 mohm", tessa, hour(1), "bench meter")
    assert (kept.low, kept.high) == (None, 0.1)


def test_a_new_reading_supersedes_and_the_old_one_stays(sheet, tessa):
    first = read(sheet, "ground dash", "20 mohm", by=tessa)
    second = read(sheet, "ground dash", "30 mohm", by=tessa, at=2)
    assert check(sheet, "ground dash").latest == second
    assert list(Reading.objects.all()) == [first, second]


def test_a_reading_that_comes_late_does_not_supersede_a_later_one(sheet, tessa):
    later = read(sheet, "ground dash", "20 mohm", by=tessa, at=3)
    read(sheet, "ground dash", "5 ohm", by=tessa, at=2)
    assert check(sheet, "ground dash").latest == later
    assert not Fault.objects.exists()


def test_readings_cannot_be_changed_or_deleted(sheet, tessa):
    kept = read(sheet, "ground dash", "20 mohm", by=tessa)
    kept.value = 0.0
    with pytest.raises(ValidationError):
        kept.save()
    with pytest.raises(ValidationError):
        Reading.objects.update(passed=True)
    with pytest.raises(ValidationError):
        kept.delete()


def test_a_reading_sent_twice_counts_once(sheet, tessa):
    assert read(sheet, "ground dash", "1 ohm", by=tessa, sent="samekey1") == read(
        sheet, "ground dash", "1 ohm", by=tessa, sent="samekey1"
    )
    assert Fault.objects.count() == 1


def test_an_old_form_sent_again_with_another_reading_is_refused(sheet, tessa):
    read(sheet, "ground dash", "20 mohm", by=tessa, sent="samekey1")
    with pytest.raises(LockedError, match="sent before"):
        read(sheet, "ground dash", "1 ohm", by=tessa, sent="samekey1")


def test_what_is_no_quantity_is_refused_and_nothing_is_stored(sheet, tessa):
    with pytest.raises(QuantityError, match="expected a resistance"):
        read(sheet, "ground dash", "lots", by=tessa)
    assert not Reading.objects.exists()


def test_an_open_line_passes_where_one_is_asked_for_and_fails_a_ground(sheet, tessa):
    assert read(sheet, "output low beam", "OL", by=tessa).passed
    assert not read(sheet, "ground dash", "OL", by=tessa).passed
    assert check(sheet, "output low beam").verdict is Verdict.PASSED


def test_a_failed_check_opens_one_fault_by_itself(sheet, tessa):
    first = read(sheet, "ground dash", "3 ohm", by=tessa)
    fault = Fault.objects.get()
    assert first.fault == fault
    assert (fault.weight, fault.does) == (Weight.DANGER, "Ground point dash reads 3 ohm")
    assert fault.should == "at most 100 mΩ"
    assert set(fault.circuits) == {"clock"}
    read(sheet, "ground dash", "2 ohm", by=tessa, at=2)
    assert Fault.objects.count() == 1
    assert fault.tests.get().passed is False


def test_a_passing_reading_is_the_re_test_of_the_fault_it_opened(sheet, tessa):
    read(sheet, "ground dash", "3 ohm", by=tessa)
    read(sheet, "ground dash", "20 mohm", by=tessa, at=2)
    close(fault=Fault.objects.get(), cause="paint", remedy="scraped", by=tessa, at=hour(3))
    assert not Fault.objects.get().is_open
    read(sheet, "ground dash", "4 ohm", by=tessa, at=4)
    assert Fault.objects.get().is_open, "failing again opens the same fault again"


def test_no_reading_under_power_before_the_checks_before_it_pass(sheet, tessa):
    with pytest.raises(LockedError, match="No source may be connected yet"):
        read(sheet, "first power", "0.1 A", by=tessa)
    with pytest.raises(LockedError, match="The battery is not connected yet"):
        read(sheet, "on horn", "5 A", by=tessa)
    assert not Reading.objects.exists()


def test_the_battery_is_locked_until_every_check_before_it_passes(sheet, tessa, owner):
    with pytest.raises(LockedError) as refusal:
        connect_battery(job=sheet, by=owner, at=hour(1))
    assert len(refusal.value.reasons) == sum(row.is_before_battery for row in CheckRow.objects.filter(job=sheet))
    pass_all(sheet, tessa)
    act = connect_battery(job=sheet, by=tessa, at=hour(2))
    assert act.is_on
    assert not act.is_override
    assert read(sheet, "on horn", "5 A", by=tessa, at=3).passed


@pytest.mark.parametrize("place", range(5))
def test_one_check_missing_keeps_the_battery_off(sheet, tessa, place):
    pass_all(sheet, tessa)
    left_out = [row for row in CheckRow.objects.filter(job=sheet) if row.is_before_battery][place * 3]
    CheckRow.objects.filter(pk=left_out.pk).update(latest=None)
    with pytest.raises(LockedError, match="to do"):
        connect_battery(job=sheet, by=tessa, at=hour(2))


def test_one_check_failed_keeps_the_battery_off(sheet, tessa):
    pass_all(sheet, tessa)
    read(sheet, "ground dash", "3 ohm", by=tessa, at=2)
    with pytest.raises(LockedError, match="Ground point dash: failed"):
        connect_battery(job=sheet, by=tessa, at=hour(3))


def test_no_sheet_no_battery(job, tessa):
    with pytest.raises(LockedError, match=NO_SHEET):
        connect_battery(job=job, by=tessa, at=hour(1))


def test_a_changed_plan_locks_the_battery_until_the_sheet_is_made_anew(sheet, tessa):
    pass_all(sheet, tessa)
    circuits = (*cast.PLAN.circuits, replace(cast.TAIL, name="boot lamp"))
    replace_plan(plan_id=sheet.plan_id, plan=replace(cast.PLAN, circuits=circuits), expected_version=1, by="Otto")
    with pytest.raises(LockedError, match="plan has changed"):
        connect_battery(job=sheet, by=tessa, at=hour(2))
    make_sheet(job=sheet, by=tessa, at=hour(3))
    with pytest.raises(LockedError, match="boot lamp"):
        connect_battery(job=sheet, by=tessa, at=hour(4))
    assert check(sheet, "ground dash").verdict is Verdict.PASSED, "a line that stays keeps its readings"


def test_an_override_needs_an_owner_and_a_reason_and_is_kept(sheet, tessa, owner):
    with pytest.raises(LockedError, match="Only an owner"):
        connect_battery(job=sheet, by=tessa, at=hour(1), override_reason="in a hurry")
    with pytest.raises(LockedError):
        connect_battery(job=sheet, by=owner, at=hour(1), override_reason="   ")
    connect_battery(job=sheet, by=owner, at=hour(1), override_reason="alternator test on the bench")
    take_battery_off(job=sheet, by=tessa, at=hour(2))
    [kept] = proof_state(sheet).overrides
    assert (kept.by, kept.reason) == (owner, "alternator test on the bench")
    assert len(kept.missing) > 5
    with pytest.raises(ValidationError):
        kept.delete()


def test_an_override_is_none_where_nothing_is_missing(sheet, tessa, owner):
    pass_all(sheet, tessa)
    assert not connect_battery(job=sheet, by=owner, at=hour(2), override_reason="just in case").is_override


def test_the_database_refuses_an_override_without_a_reason(sheet, owner):
    with pytest.raises(IntegrityError), transaction.atomic():
        BatteryAct.objects.create(job=sheet, is_on=True, is_override=True, by=owner, at=hour(1))


def test_after_the_battery_was_off_it_is_locked_again_by_what_failed_meanwhile(sheet, tessa):
    pass_all(sheet, tessa)
    connect_battery(job=sheet, by=tessa, at=hour(2))
    take_battery_off(job=sheet, by=tessa, at=hour(3))
    read(sheet, "ground dash", "3 ohm", by=tessa, at=4)
    with pytest.raises(LockedError):
        connect_battery(job=sheet, by=tessa, at=hour(5))


def test_a_tighter_limit_asks_for_the_reading_again_where_it_no_longer_holds(sheet, tessa):
    read(sheet, "ground dash", "80 mohm", by=tessa)
    read(sheet, "ground tail", "20 mohm", by=tessa)
    tighter = tuple(row.with_sides(None, 0.05) if row.name == "ground_point" else row for row in packaged_limits())
    store_limits(limits=tighter)
    assert check(sheet, "ground dash").verdict is Verdict.PASSED, "the sheet keeps its limits until it is made anew"
    make_sheet(job=sheet, by=tessa, at=hour(2))
    assert check(sheet, "ground dash").verdict is Verdict.AGAIN
    assert check(sheet, "ground tail").verdict is Verdict.PASSED


def test_a_vehicle_is_released_when_every_check_passed_and_nothing_endangers(sheet, tessa):
    assert release_reasons(sheet)
    pass_all(sheet, tessa)
    connect_battery(job=sheet, by=tessa, at=hour(2))
    pass_all(sheet, tessa, before_battery=False)
    assert release_reasons(sheet) == ()


def test_a_missing_sheet_keeps_the_vehicle(job):
    assert release_reasons(job) == (NO_SHEET,)


def test_a_changed_plan_keeps_the_vehicle(sheet, tessa):
    replace_plan(plan_id=sheet.plan_id, plan=cast.PLAN, expected_version=1, by="Otto")
    sheet.plan.refresh_from_db()
    assert CHANGED in release_reasons(sheet)


@pytest.mark.parametrize(("weight", "keeps"), [(Weight.DANGER, True), (Weight.STOPS, False), (Weight.COMFORT, False)])
def test_an_open_fault_keeps_the_vehicle_where_it_endangers_people(sheet, tessa, weight, keeps):
    pass_all(sheet, tessa)
    connect_battery(job=sheet, by=tessa, at=hour(2))
    pass_all(sheet, tessa, before_battery=False)
    symptom = Symptom(does="brake lamps glow", weight=weight)
    raise_fault(job=sheet, symptom=symptom, by=tessa, at=hour(3), key="faultkey")
    assert bool(release_reasons(sheet)) is keeps


def test_state_costs_the_same_however_long_the_sheet_is(sheet, tessa, django_assert_num_queries):
    pass_all(sheet, tessa)
    with django_assert_num_queries(3):
        state = proof_state(sheet)
        assert not state.missing


def test_a_reading_within_its_limit_but_not_as_the_plan_lets_expect_passes_and_asks_for_a_look(sheet, tessa):
    row = CheckRow.objects.filter(job=sheet, unit="ohm", low__lt=100, most_expected__lt=1000)[0]
    assert row.low is not None
    assert row.most_expected is not None
    read(sheet, row.key, f"{row.expected} ohm", by=tessa, at=1.0)
    assert not CheckRow.objects.get(pk=row.pk).is_odd
    read(sheet, row.key, f"{row.most_expected * 2} ohm", by=tessa, at=2.0)
    row.refresh_from_db()
    assert (row.verdict, row.is_odd) == (Verdict.PASSED, True)
    read(sheet, row.key, f"{row.low / 2} ohm", by=tessa, at=3.0)
    row.refresh_from_db()
    assert (row.verdict, row.is_odd) == (Verdict.FAILED, False)
