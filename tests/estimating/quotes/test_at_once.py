"""Several people at once, on SQLite and on PostgreSQL: exactly one sends, exactly one accepts, no number is lost."""

import json
import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import pytest

ROOT = Path(__file__).parents[3]


def _own_database(server_url: str) -> str:
    """URL of a database of our own on the server."""
    import psycopg

    with psycopg.connect(server_url, autocommit=True) as connection:
        connection.execute("DROP DATABASE IF EXISTS quotes_race")
        connection.execute("CREATE DATABASE quotes_race")
    return urlunsplit(urlsplit(server_url)._replace(path="/quotes_race"))


def _race(database_url: str) -> dict:
    environment = os.environ | {
        "LOOMWRIGHT_TEST_DATABASE_URL": database_url,
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "PYTHONPATH": str(ROOT),
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.estimating.quotes.race"],
        env=environment, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


@pytest.fixture(scope="module")
def sqlite(tmp_path_factory):
    return _race(f"sqlite:///{tmp_path_factory.mktemp('race') / 'race.sqlite3'}")


@pytest.fixture(scope="module")
def postgres(postgres_url):
    return _race(_own_database(postgres_url))


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def race(request):
    return request.getfixturevalue(request.param)


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
