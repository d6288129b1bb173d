"""Both databases keep what many writers write at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from tests.house import ROOT

WRITERS, TRANSACTIONS = 4, 60

WRITE = """
import sys, django
from django.conf import settings
from shop.environment import database_from_url
settings.configure(
    DATABASES={"default": database_from_url(sys.argv[1])}, INSTALLED_APPS=["circuits.outbox"], REDIS_URL="", USE_TZ=True
)
django.setup()
from django.db import connection, transaction
from circuits.outbox.models import OutboxRow
if sys.argv[2] == "make":
    with connection.schema_editor() as editor:
        editor.create_model(OutboxRow)
    OutboxRow.objects.create(task="counter")
elif sys.argv[2] == "count":
    print(OutboxRow.objects.get(task="counter").steps_done, OutboxRow.objects.count())
else:
    for number in range(int(sys.argv[3])):
        with transaction.atomic():
            # Read, then write what was read: the pattern that loses updates, or fails, where a transaction starts late.
            row = OutboxRow.objects.select_for_update().get(task="counter")
            OutboxRow.objects.create(task=f"{sys.argv[2]}/{number}")
            row.steps_done += 1
            row.save()
"""


def start(url: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", WRITE, url, *arguments],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def finish(process: subprocess.Popen[str]) -> str:
    out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    return out


def write_from_many_processes(url: str) -> None:
    finish(start(url, "make"))
    for writer in [start(url, f"writer{number}", str(TRANSACTIONS)) for number in range(WRITERS)]:
        finish(writer)
    counted, rows = map(int, finish(start(url, "count")).split())
    assert counted == WRITERS * TRANSACTIONS
    assert rows == WRITERS * TRANSACTIONS + 1


def test_sqlite_writers_queue_and_lose_nothing(tmp_path: Path):
    write_from_many_processes(f"sqlite:///{tmp_path / 'many.sqlite3'}")


def test_postgresql_writers_queue_and_lose_nothing(own_postgres_url: str):
    write_from_many_processes(own_postgres_url)


@pytest.mark.sqlite_only
@pytest.mark.django_db(transaction=True)
def test_sqlite_runs_as_it_was_measured():
    pragmas = {"journal_mode": "wal", "synchronous": 1, "foreign_keys": 1, "busy_timeout": 20_000}
    with connection.cursor() as cursor:
        found = {name: cursor.execute(f"PRAGMA {name}").fetchone()[0] for name in pragmas}
    assert found == pragmas


@pytest.mark.sqlite_only
@pytest.mark.django_db(transaction=True)
def test_a_copy_by_vacuum_into_is_whole_while_the_shop_writes(tmp_path: Path):
    import sqlite3

    from circuits.outbox.models import OutboxRow

    OutboxRow.objects.create(task="kept")
    copy = tmp_path / "copy.sqlite3"
    with connection.cursor() as cursor:
        cursor.execute("VACUUM INTO %s", [str(copy)])
    with sqlite3.connect(copy) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert opened.execute("SELECT task FROM outbox_outboxrow").fetchall() == [("kept",)]
    opened.close()
