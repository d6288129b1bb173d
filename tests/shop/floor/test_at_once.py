"""Many hands at once, on SQLite and on PostgreSQL: one running entry a person, one tick, one fault, one connection."""

from __future__ import annotations

from typing import Any

import pytest

from tests.servers.races import BOTH, race_of


@pytest.fixture(scope="module", params=BOTH)
def race(request: pytest.FixtureRequest) -> dict[str, Any]:
    return race_of(request, "tests.shop.floor.race")


def test_of_many_starts_at_once_one_runs(race):
    assert all(said == ["done"] * 6 for said in race["start"]), race["start"]
    assert race["running"] == [1] * 5


def test_a_key_sent_many_times_at_once_acts_once(race):
    assert all(said == ["done"] * 4 for said in race["same"]), race["same"]
    assert race["doubled"] == 0


def test_a_circuit_ticked_by_many_at_once_is_ticked_once(race):
    assert race["tick"] == ["done"] * 5
    assert race["ticks"] == [1, 1]


def test_a_check_that_fails_many_times_at_once_opens_one_fault(race):
    assert race["fail"] == ["done"] * 5
    assert race["faults"] == [1, 5]


def test_the_battery_is_connected_once(race):
    assert race["connect"] == ["done"] * 4
    assert race["acts"] == 1


def test_faults_are_numbered_without_gap_or_double(race):
    assert race["raise"] == ["done"] * 6
    assert race["numbers"] == list(range(1, 8))
