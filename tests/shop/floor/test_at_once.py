"""Many hands at once, on SQLite and on PostgreSQL: one running entry a person, one tick, one fault, one connection."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


def _race(database_url: str) -> dict:
    environment = os.environ | {
        "LOOMWRIGHT_TEST_DATABASE_URL": database_url,
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "PYTHONPATH": str(ROOT),
    }
    command = [sys.executable, "-m", "tests.shop.floor.race"]
    done = subprocess.run(command, env=environment, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


@pytest.fixture(scope="module")
def sqlite(tmp_path_factory):
    return _race(f"sqlite:///{tmp_path_factory.mktemp('race') / 'race.sqlite3'}")


@pytest.fixture(scope="module")
def postgres(postgres_url):
    import psycopg

    with psycopg.connect(postgres_url, autocommit=True) as connection:
        connection.execute("DROP DATABASE IF EXISTS floor_race")
        connection.execute("CREATE DATABASE floor_race")
    return _race(postgres_url.replace("/postgres?", "/floor_race?"))


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def race(request):
    return request.getfixturevalue(request.param)


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
