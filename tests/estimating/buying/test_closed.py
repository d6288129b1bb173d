"""Tight packings: found by local search, or shown to be impossible by a part of the bins alone."""

from dataclasses import replace

from estimating.buying.packing.check import check
from estimating.buying.packing.closed import closed_sets, impossible, too_small
from estimating.buying.packing.repack import repack
from estimating.buying.packing.task import Effort, Fits, NotPacked, Task, TooSmall
from tests.estimating.buying.test_packing import assert_right, perfect, task_of

# Two short rolls that alone take items 0 and 1; plenty of long ones for the rest.
SHORT = Task((6, 5, 1), (2, 1, 9), (10, 4), (2, 9), ((0, 1, 2), (2,)))


def test_a_part_that_cannot_be_packed_names_its_own_bins_alone():
    assert impossible(SHORT, Effort()) == NotPacked(is_impossible=True, kinds=frozenset({0}))
    assert isinstance(check(replace(SHORT, bins=(3, 9)), Effort()), Fits)


def test_a_part_that_holds_too_little_is_refused_by_a_weight_that_names_its_own_bins_alone():
    found = too_small(Task((8, 4), (2, 3), (10, 5), (1, 9), ((0, 1), (0, 1))), Effort())
    assert isinstance(found, TooSmall)
    assert found.weights[1] == 0
    assert found.weights[0] < found.least <= 2 * found.weights[0]


def test_nothing_is_called_impossible_that_has_a_layout():
    for seed in range(4):
        task = task_of(1000, perfect(seed, 8, 3, 1000), 8)
        assert too_small(task, Effort()) is None
        assert impossible(task, Effort()) is None
        assert all(one.task.slack >= 0 for one in closed_sets(task))


def test_local_search_fills_perfect_packings_and_repeats_itself():
    task = task_of(10_000, perfect(3, 12, 8, 10_000), 12)
    layout = repack(task, Effort())
    assert layout is not None
    assert_right(task, Fits(layout))
    assert repack(task, Effort()) == layout


def test_local_search_gives_up_where_time_is_up():
    assert repack(SHORT, Effort(seconds_left=lambda: 0.0)) is None
