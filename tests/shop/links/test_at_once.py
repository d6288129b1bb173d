"""Many at once, on SQLite and on PostgreSQL: one acceptance counts, one release is made, no try is lost."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from tests.house import ROOT
from tests.shop.links.race import PEOPLE, ROUNDS, TRIES


def _race(database_url: str) -> dict:
    environment = os.environ | {
        "LOOMWRIGHT_TEST_DATABASE_URL": database_url,
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "PYTHONPATH": str(ROOT),
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.shop.links.race"],
        env=environment, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


@pytest.fixture(scope="module")
def sqlite(tmp_path_factory):
    return _race(f"sqlite:///{tmp_path_factory.mktemp('race') / 'race.sqlite3'}")


@pytest.fixture(scope="module")
def postgres(postgres_url):
    import psycopg

    with psycopg.connect(postgres_url, autocommit=True) as connection:
        connection.execute("DROP DATABASE IF EXISTS links_race")
        connection.execute("CREATE DATABASE links_race")
    return _race(postgres_url.replace("/postgres?", "/links_race?"))


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def race(request):
    return request.getfixturevalue(request.param)


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
