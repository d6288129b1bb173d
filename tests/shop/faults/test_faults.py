"""The punch list: raised once, tested, closed by a passed re-test, opened again with its history."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from shop.faults.models import Fault, FaultEvent, FaultTest, Weight
from shop.faults.photos import Photo
from shop.faults.selectors import fault_story
from shop.faults.services import FaultError, Symptom, Tried, add_test, close, describe, raise_fault, reopen
from shop.floor.queued import new_key
from tests.shop.floor import cast
from tests.shop.floor.cast import hour

PHOTO = Photo(b"\xff\xd8jpeg", 4, 3)
GLOW = Symptom(
    does="tail lamps glow", weight=Weight.STOPS, switches="headlamp off, indicator left", should="stay dark",
    circuits=("tail lamp",), suspects="ground tail",
)  # fmt: skip


@pytest.fixture
def fault(job, tessa):
    return raise_fault(job=job, symptom=GLOW, by=tessa, at=hour(0), key="faultkey")


MEASURED = Tried("all lamps, both indicators", "0.04 V", 0.04, "V", passed=True)
UNMEASURED = replace(MEASURED, reading="", value=None, unit="")


def retest(fault, by, at, tried=MEASURED):
    return add_test(fault=fault, tried=tried, by=by, at=hour(at), key=new_key())


def test_a_fault_says_what_does_what_should_and_in_which_switch_states(fault, tessa):
    assert (fault.number, fault.does, fault.should, fault.switches) == (
        1, "tail lamps glow", "stay dark", "headlamp off, indicator left",
    )  # fmt: skip
    assert (fault.circuits, fault.raised_by, fault.is_open) == (["tail lamp"], tessa, True)


def test_a_fault_sent_twice_is_raised_once(job, fault, tessa):
    assert raise_fault(job=job, symptom=GLOW, by=tessa, at=hour(0), key="faultkey") == fault
    assert Fault.objects.count() == 1
    assert raise_fault(job=job, symptom=GLOW, by=tessa, at=hour(1), key="otherkey").number == 2


def test_a_fault_without_a_symptom_is_refused(job, tessa):
    with pytest.raises(ValidationError):
        raise_fault(job=job, symptom=Symptom(does=" ", weight=Weight.STOPS), by=tessa, at=hour(0), key="faultkey")


def test_closing_needs_a_re_test_that_passed(fault, tessa):
    with pytest.raises(FaultError, match="re-test that passed"):
        close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(1))
    add_test(fault=fault, tried=Tried("wiggled the loom"), by=tessa, at=hour(1), key=new_key())
    with pytest.raises(FaultError, match="re-test that passed"):
        close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(1))
    retest(fault, tessa, 1)
    assert not close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(2)).is_open


def test_a_re_test_that_failed_after_one_that_passed_keeps_it_open(fault, tessa):
    retest(fault, tessa, 1)
    retest(fault, tessa, 2, replace(MEASURED, passed=False))
    with pytest.raises(FaultError, match="re-test that passed"):
        close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(3))


@pytest.mark.parametrize(("cause", "remedy", "missing"), [("", "x", "the cause"), ("x", " ", "the remedy")])
def test_closing_needs_cause_and_remedy(fault, tessa, cause, remedy, missing):
    retest(fault, tessa, 1)
    with pytest.raises(FaultError, match=missing):
        close(fault=fault, cause=cause, remedy=remedy, by=tessa, at=hour(2))


def test_the_database_refuses_a_closed_fault_without_a_cause(fault):
    with pytest.raises(IntegrityError), transaction.atomic():
        Fault.objects.filter(pk=fault.pk).update(closed_at=hour(1))


def test_a_re_test_needs_evidence(fault, tessa):
    with pytest.raises(FaultError, match="evidence"):
        retest(fault, tessa, 1, UNMEASURED)
    assert retest(fault, tessa, 1, replace(UNMEASURED, photo=PHOTO)).photo.jpeg == PHOTO.jpeg


def test_opened_again_it_keeps_its_history_and_needs_a_new_re_test(fault, tessa, bo):
    retest(fault, tessa, 1)
    close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(2))
    reopen(fault=fault, why="glows again when wet", by=bo, at=hour(3))
    assert [event.what for event in fault.events.all()] == ["raised", "closed", "reopened"]
    assert "Cause: rust" in fault.events.get(what="closed").words
    with pytest.raises(FaultError, match="re-test that passed"):
        close(fault=fault, cause="water", remedy="sealed", by=bo, at=hour(4))
    retest(fault, bo, 5)
    close(fault=fault, cause="water", remedy="sealed", by=bo, at=hour(6))
    assert "Cause: rust" in fault.events.filter(what="closed").first().words


def test_opening_again_needs_a_reason(fault, tessa):
    retest(fault, tessa, 1)
    close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(2))
    with pytest.raises(FaultError, match="Say what showed"):
        reopen(fault=fault, why="", by=tessa, at=hour(3))


def test_what_was_said_before_is_kept(fault, bo):
    describe(fault=fault, changes={"weight": Weight.DANGER, "does": "brake lamps glow"}, by=bo, at=hour(1))
    words = fault.events.get(what="described").words
    assert "weight was: Stops the vehicle" in words
    assert "does was: tail lamps glow" in words


def test_a_closed_fault_is_not_made_lighter_behind_its_history(fault, tessa):
    retest(fault, tessa, 1)
    close(fault=fault, cause="rust", remedy="new ring", by=tessa, at=hour(2))
    with pytest.raises(FaultError, match="is closed"):
        describe(fault=fault, changes={"cause": "nothing"}, by=tessa, at=hour(3))


def test_tests_and_events_are_never_changed(fault, tessa):
    test = retest(fault, tessa, 1)
    test.passed = False
    for act in (test.save, test.delete, FaultTest.objects.all().delete, FaultEvent.objects.all().delete):
        with pytest.raises(ValidationError):
            act()


def test_time_spent_is_that_of_its_tests(fault, tessa):
    retest(fault, tessa, 1, replace(MEASURED, minutes=25))
    add_test(fault=fault, tried=Tried("measured", minutes=10), by=tessa, at=hour(1), key=new_key())
    assert fault_story(fault).minutes == 35


def test_the_list_is_sorted_by_what_blocks_a_delivery(job, tessa):
    soon = cast.booked_job("Soon")
    soon.starts_on = hour(24).date()
    soon.save()

    def raised(of, does, weight):
        return raise_fault(job=of, symptom=Symptom(does, weight), by=tessa, at=hour(0), key=new_key())

    comfort, later = raised(soon, "clock is slow", Weight.COMFORT), raised(job, "dead", Weight.STOPS)
    sooner, danger = raised(soon, "dead too", Weight.STOPS), raised(job, "smokes", Weight.DANGER)
    done = raised(job, "smoked", Weight.DANGER)
    retest(done, tessa, 1)
    close(fault=done, cause="x", remedy="y", by=tessa, at=hour(2))
    assert list(Fault.objects.by_delivery()) == [danger, sooner, later, comfort, done]
