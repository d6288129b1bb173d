"""Many at once, on SQLite and on PostgreSQL: one acceptance counts, one release is made, no try is lost."""

from __future__ import annotations

from typing import Any

import pytest

from tests.servers.races import BOTH, race_of
from tests.shop.links.race import PEOPLE, ROUNDS, TRIES


@pytest.fixture(scope="module", params=BOTH)
def race(request: pytest.FixtureRequest) -> dict[str, Any]:
    return race_of(request, "tests.shop.links.race")


def test_one_of_several_acceptances_at_once_books_the_job(race):
    assert race["links"]["accept"] == [["done"] + ["refused"] * (PEOPLE - 1)] * ROUNDS
    assert race["links"]["booked"] == [["booked", True]] * ROUNDS


def test_link_revoked_at_the_moment_of_acceptance_is_used_before_or_closed_before(race):
    for accepted, revoked, state, acts in race["links"]["revoke"]:
        assert revoked == "done"
        assert (accepted, state, acts) in (("done", "accepted", 1), ("closed", "sent", 0))


def test_no_try_is_lost(race):
    assert race["tries"] == PEOPLE * TRIES


def test_one_of_several_releases_at_once_is_made(race):
    assert race["handover"]["release"] == [[["done", "refused", "refused"], 1]]


def test_danger_raised_at_the_moment_of_release_stops_it_or_comes_after_it(race):
    for (released, raised), papers in race["handover"]["danger"]:
        assert raised == "done"
        assert (released, papers) in (("done", [[]]), ("refused", []))


def test_plan_edited_at_the_moment_of_release_is_frozen_as_it_was_accepted_or_not_at_all(race):
    for (released, edited), frozen, accepted in race["handover"]["plan"]:
        assert edited == "done"
        assert (released, frozen) in (("done", [accepted]), ("refused", []))
