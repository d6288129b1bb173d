"""Races: a program of a test that runs many acts at once on an empty database of its own, and tells what came of it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import urlsplit, urlunsplit

import pytest

from tests.house import ROOT

BOTH = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]
"""Parameters of a fixture that races on SQLite and on PostgreSQL."""


def at_once(*acts: Callable[[], Any]) -> list[str]:
    """Runs all acts at the same moment; what each came to, in words, in the order of the alphabet."""
    from estimating.quotes.rules import RefusedError

    return sorted(each_at_once(*acts, ends={RefusedError: "refused"}))


def each_at_once(*acts: Callable[[], Any], ends: Mapping[type[Exception], str]) -> list[str]:
    """Runs all acts at the same moment, each in a thread of its own; what each came to, in the order given.

    ``ends`` says in a word which exceptions an act may end with.
    """
    from django.db import connection

    gate, said = threading.Barrier(len(acts)), [""] * len(acts)

    def run(place: int, act: Callable[[], Any]) -> None:
        gate.wait()
        try:
            act()
            said[place] = "done"
        except Exception as error:  # any other end than those is a failure of the test
            words = (word for kind, word in ends.items() if isinstance(error, kind))
            said[place] = next(words, f"{type(error).__name__}: {error}")
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=item) for item in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return said


def race_of(request: pytest.FixtureRequest, program: str) -> dict[str, Any]:
    """What the program told, run on the kind of database that the fixture's parameter names: ``BOTH``."""
    told = run_program(empty_database(request, program.replace(".", "_")), "-m", program)
    answer: dict[str, Any] = json.loads(told.splitlines()[-1])
    return answer


def run_program(database_url: str, *words: str) -> str:
    """Runs Python on a database; what it printed. It must end well."""
    environment = os.environ | {
        "LOOMWRIGHT_TEST_DATABASE_URL": database_url,
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "PYTHONPATH": str(ROOT),
    }
    done = subprocess.run(
        [sys.executable, *words], env=environment, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def empty_database(request: pytest.FixtureRequest, name: str) -> str:
    """URL of an empty database: a file of its own, or one of that name on the session's server."""
    if request.param == "sqlite":
        return f"sqlite:///{request.getfixturevalue('tmp_path_factory').mktemp('race') / 'race.sqlite3'}"
    import psycopg

    server_url = request.getfixturevalue("postgres_url")
    with psycopg.connect(server_url, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE IF EXISTS {name}")
        connection.execute(f"CREATE DATABASE {name}")
    return urlunsplit(urlsplit(server_url)._replace(path=f"/{name}"))
