"""Many people at once, and processes that die in the middle, on SQLite and on PostgreSQL."""

from __future__ import annotations

from typing import Any

import pytest

from tests.servers.races import BOTH, race_of
from tests.shop.billing import killed


@pytest.fixture(scope="module", params=BOTH)
def race(request: pytest.FixtureRequest) -> dict[str, Any]:
    return race_of(request, "tests.shop.billing.race")


def test_fifty_at_once_get_fifty_numbers_without_gap_or_double(race):
    assert race["issue"] == ["done"] * 50
    assert race["sequences"] == list(range(1, race["wanted"] + 1))


def test_steps_of_each_account_follow_one_another(race):
    for steps in race["steps"].values():
        assert steps == list(range(1, len(steps) + 1))


def test_one_form_sent_in_ten_times_issues_once(race):
    assert race["same_key"] == ["done"] * 10
    assert race["with_key"] == 1


def test_one_of_several_final_invoices_is_issued(race):
    assert race["rest"] == ["done"] + ["refused"] * 9
    assert float(race["rest_left"]) == 0


def test_payments_at_once_are_all_counted(race):
    assert race["pay"] == ["done"] * 10
    assert float(race["paid"]) == 100
    assert race["open_kept"] == race["open_replayed"]


def test_one_of_several_senders_sends_the_change_and_one_answer_counts(race):
    assert race["send_change"] == ["done"] + ["refused"] * 9
    assert race["answer_change"] == ["done"] + ["refused"] * 9
    assert race["change"] in ("accepted", "declined")


def test_no_more_is_paid_back_than_is_held(race):
    assert race["refund"] == ["done"] + ["refused"] * 9
    assert float(race["held"]) == 40


@pytest.fixture(scope="module", params=BOTH)
def deaths(request: pytest.FixtureRequest) -> dict[str, Any]:
    return race_of(request, "tests.shop.billing.killed")


def is_whole(told: dict[str, Any]) -> bool:
    """Every invoice that is there is there with all that belongs to it, and no number is missing."""
    count = len(told["sequences"])
    return (
        told["sequences"] == list(range(1, count + 1))
        and told["last"] == count == told["balances"] == told["steps"]
        and all(told["read"])
        and told["open_agrees"]
    )


@pytest.mark.parametrize("point", killed.POINTS)
def test_a_process_that_dies_in_the_middle_leaves_a_whole_invoice_or_none(deaths, point):
    told = deaths["points"][point]
    assert deaths["ends"][point] == killed.DEAD
    assert is_whole(told), told
    assert len(told["sequences"]) == (1 if point == "committed" else 0)


def test_the_number_of_the_dead_is_given_to_the_next(deaths):
    assert deaths["ends"]["never"] == 0
    assert deaths["points"]["never"]["sequences"] == [1, 2]


def test_a_process_killed_at_any_moment_leaves_no_gap_and_nothing_half_done(deaths):
    told = deaths["killed"]
    assert deaths["issued_by_the_killed"] >= killed.KILLS
    assert is_whole(told), told
    assert told["queued"] == len(told["sequences"]) - 1, "every paper waits or is made; one death had no queue"
