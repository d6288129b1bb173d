"""Several people at once, on SQLite and on PostgreSQL: exactly one sends, exactly one accepts, no number is lost."""

from __future__ import annotations

from typing import Any

import pytest

from tests.servers.races import BOTH, race_of


@pytest.fixture(scope="module", params=BOTH)
def race(request: pytest.FixtureRequest) -> dict[str, Any]:
    return race_of(request, "tests.estimating.quotes.race")


def test_one_of_several_senders_sends(race):
    assert all(said == ["done", "refused", "refused", "refused"] for said in race["send"]), race["send"]


def test_one_of_several_acceptances_counts(race):
    assert all(said == ["done", "refused", "refused", "refused"] for said in race["accept"]), race["accept"]


def test_sending_and_accepting_at_once_leave_one_outcome(race):
    assert all(said == ["done", "refused"] for said in race["send_or_accept"]), race["send_or_accept"]
    for states in race["states"]:
        assert states in (["accepted"], ["superseded", "sent"]), states


def test_each_acceptance_is_heard_once(race):
    assert race["heard"] == race["accepted"]


def test_numbers_have_no_gap_and_no_double(race):
    assert race["create"] == ["done"] * 9
    assert race["numbers"] == [f"Q-2026-{n:03d}" for n in range(1, 7)]


def test_database_itself_refuses_to_change_what_was_sent(race):
    assert "sent revision cannot be changed" in race["guard"]
