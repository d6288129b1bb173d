"""Hours: one running entry a person, whatever order the taps arrive in; corrections keep what they correct."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from random import Random

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction
from hypothesis import given
from hypothesis import strategies as st

from shop.floor.corrections import HoursError, Worked, add_by_hand, correct
from shop.floor.models import HoursCorrection, HoursEntry, Tap
from shop.floor.replay import Press, Span, clipped, spans
from shop.floor.selectors import minutes_of, work_state
from tests.shop.floor.cast import hour, package, tap


def said() -> list[tuple[str, float, float | None]]:
    """Entries as stage, start and stop in hours after nine."""
    nine = hour(0)
    return [
        (
            entry.package.stage,
            (entry.started_at - nine) / timedelta(hours=1),
            (entry.stopped_at - nine) / timedelta(hours=1) if entry.stopped_at else None,
        )
        for entry in HoursEntry.objects.filter(is_struck=False).order_by("started_at")
    ]


def test_start_and_stop_book_the_time_between(job, tessa):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    assert said() == [("pull", 0, None)]
    tap(tessa, "stop", hour(1.5))
    assert said() == [("pull", 0, 1.5)]


def test_starting_on_another_package_ends_the_first(job, tessa):
    tap(tessa, "start", hour(0), package(job, "pull", "front"))
    tap(tessa, "start", hour(1), package(job, "terminate", "front"))
    assert said() == [("pull", 0, 1), ("terminate", 1, None)]


def test_a_tap_sent_twice_counts_once(job, tessa):
    pull = package(job, "pull", "front")
    first = tap(tessa, "start", hour(0), pull, key="samekey1")
    again = tap(tessa, "start", hour(0), pull, key="samekey1")
    assert first == again
    assert HoursEntry.objects.count() == Tap.objects.count() == 1


def test_two_people_run_at_once_and_one_person_does_not(job, tessa, bo):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    tap(bo, "start", hour(0), pull)
    assert HoursEntry.objects.running().count() == 2
    with pytest.raises(IntegrityError), transaction.atomic():
        HoursEntry.objects.create(package=pull, person=tessa, started_at=hour(2))


def test_a_late_start_finds_the_stop_that_came_before_it(job, tessa):
    """Phone in the pit: start at 9 and stop at 10 were made without a network; the stop was sent first."""
    tap(tessa, "stop", hour(1))
    assert said() == []
    tap(tessa, "start", hour(0), package(job, "pull", "front"))
    assert said() == [("pull", 0, 1)]


def test_a_late_start_parts_the_time_that_ran_over_it(job, tessa):
    tap(tessa, "start", hour(0), package(job, "pull", "front"))
    tap(tessa, "stop", hour(3))
    tap(tessa, "start", hour(1), package(job, "terminate", "front"))
    assert said() == [("pull", 0, 1), ("terminate", 1, 3)]


def test_taps_are_kept_as_they_came(job, tessa):
    made = tap(tessa, "start", hour(0), package(job, "pull", "front"))
    made.at = hour(1)
    with pytest.raises(ValidationError):
        made.save()
    with pytest.raises(ValidationError):
        Tap.objects.all().delete()


@given(st.data())
def test_hours_do_not_depend_on_the_order_in_which_taps_arrive(data):
    minutes = data.draw(st.lists(st.integers(0, 600), min_size=1, max_size=12, unique=True))
    presses = [
        Press(str(n), hour(at / 60), data.draw(st.sampled_from([None, 1, 2, 3]))) for n, at in enumerate(minutes)
    ]
    found = spans(data.draw(st.permutations(presses)))
    assert found == spans(presses)
    running = [span for span in found if span.stop is None]
    assert len(running) <= 1
    for one, after in pairwise(found):
        assert one.stop is not None
        assert one.stop <= after.start


@given(st.lists(st.tuples(st.integers(0, 50), st.integers(1, 20)), max_size=4), st.integers(0, 50), st.integers(1, 30))
def test_a_clipped_span_never_overlaps_what_was_set_by_hand(fixed, start, length):
    times = [(hour(begin), hour(begin + long)) for begin, long in fixed]
    left = clipped(Span("a", 1, hour(start), hour(start + length)), times)
    if left is not None:
        assert left.stop is not None
        assert hour(start) <= left.start < left.stop <= hour(start + length)
        assert all(left.stop <= begin or left.start >= end for begin, end in times)


def test_a_correction_keeps_what_it_corrects_and_why(job, tessa):
    pull, strip = package(job, "pull", "front"), package(job, "strip out", "front")
    tap(tessa, "start", hour(0), pull)
    tap(tessa, "stop", hour(9))
    entry = HoursEntry.objects.get()
    correct(entry=entry, worked=Worked(strip, hour(0), hour(2)), reason="forgot to stop", by=tessa, at=hour(10))
    assert said() == [("strip out", 0, 2)]
    kept = HoursCorrection.objects.get()
    assert (kept.reason, kept.was["package"], kept.was["stop"]) == (
        "forgot to stop",
        "pull: front",
        hour(9).isoformat(),
    )


def test_a_correction_without_a_reason_is_refused(job, tessa):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    tap(tessa, "stop", hour(1))
    entry = HoursEntry.objects.get()
    with pytest.raises(HoursError, match="Say why"):
        correct(entry=entry, worked=Worked(pull, hour(0), hour(2)), reason="  ", by=tessa, at=hour(3))
    assert said() == [("pull", 0, 1)]


@pytest.mark.parametrize(
    ("start", "stop", "words"),
    [(2, 1, "not after the start"), (1, 30, "cannot lie ahead"), (3.5, 4.5, "was on terminate: front")],
)
def test_hours_that_cannot_have_been_worked_are_refused(job, tessa, start, stop, words):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(4), package(job, "terminate", "front"))
    tap(tessa, "stop", hour(5))
    with pytest.raises(HoursError, match=words):
        add_by_hand(person=tessa, worked=Worked(pull, hour(start), hour(stop)), reason="x", by=tessa, at=hour(6))
    assert said() == [("terminate", 4, 5)]


def test_others_hours_are_corrected_by_those_who_may(job, tessa, bo, owner):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    tap(tessa, "stop", hour(1))
    entry, worked = HoursEntry.objects.get(), Worked(pull, hour(0), hour(0.5))
    with pytest.raises(PermissionDenied):
        correct(entry=entry, worked=worked, reason="x", by=bo, at=hour(2))
    correct(entry=entry, worked=worked, reason="lunch", by=owner, at=hour(2))
    assert said() == [("pull", 0, 0.5)]


def test_a_late_tap_leaves_corrected_hours_alone(job, tessa):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    tap(tessa, "stop", hour(4))
    correct(entry=HoursEntry.objects.get(), worked=Worked(pull, hour(0), hour(2)), reason="x", by=tessa, at=hour(5))
    tap(tessa, "start", hour(1), package(job, "terminate", "front"))
    assert said() == [("pull", 0, 2), ("terminate", 2, 4)]


def test_a_running_entry_set_right_is_still_ended_by_the_next_tap(job, tessa):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(1), pull)
    correct(
        entry=HoursEntry.objects.get(), worked=Worked(pull, hour(0), None), reason="began earlier", by=tessa, at=hour(2)
    )
    tap(tessa, "stop", hour(3))
    assert said() == [("pull", 0, 3)]


def test_struck_hours_count_nothing_and_free_the_person(job, tessa):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    entry = HoursEntry.objects.get()
    correct(entry=entry, worked=Worked(pull, hour(0), None, True), reason="wrong job", by=tessa, at=hour(1))
    assert not HoursEntry.objects.running().exists()
    assert minutes_of(HoursEntry.objects.get(), hour(2)) == 0
    assert work_state(job, hour(2)).forecast.booked_h == 0


def test_hours_by_hand_need_a_reason_and_are_marked(job, tessa):
    worked = Worked(package(job, "pull", "front"), hour(0), hour(1))
    entry = add_by_hand(person=tessa, worked=worked, reason="phone was flat", by=tessa, at=hour(2))
    assert entry.is_corrected
    assert entry.corrections.get().was == {}


def test_a_stop_and_a_start_at_one_moment_leave_the_start_running(job, tessa):
    pull, term = package(job, "pull", "front"), package(job, "terminate", "front")
    tap(tessa, "start", hour(0), pull, key="keykey10")
    tap(tessa, "start", hour(1), term, key="keykey00")
    tap(tessa, "stop", hour(1), key="keykey20")
    assert said() == [("pull", 0, 1), ("terminate", 1, None)]


@pytest.mark.parametrize("seed", range(6))
def test_taps_stored_in_any_order_book_the_same_hours(job, tessa, bo, seed):
    shuffled = Random(seed)
    rows = [package(job, *key) for key in (("pull", "front"), ("pull", "rear"), ("terminate", "front"))]
    taps = [(at, shuffled.choice([None, *rows])) for at in range(12)]
    late = taps.copy()
    shuffled.shuffle(late)
    for person, order in ((tessa, taps), (bo, late)):
        for at, row in order:
            tap(person, "start" if row else "stop", hour(at), row, key=f"{person.username}key{at:02d}")
    hers, his = (
        list(
            HoursEntry.objects.filter(person=one)
            .order_by("started_at")
            .values_list("package", "started_at", "stopped_at")
        )
        for one in (tessa, bo)
    )
    assert hers == his
