"""Many people at once, and processes that die in the middle, on SQLite and on PostgreSQL."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit, urlunsplit

import pytest

from tests.shop.billing import killed

ROOT = Path(__file__).parents[3]
KILLS = 6


def environment(database_url: str) -> dict[str, str]:
    return os.environ | {
        "LOOMWRIGHT_TEST_DATABASE_URL": database_url,
        "DJANGO_SETTINGS_MODULE": "tests.settings",
        "PYTHONPATH": str(ROOT),
    }


def python(database_url: str, *words: str, code: int = 0) -> str:
    done = subprocess.run(
        [sys.executable, *words],
        env=environment(database_url), cwd=ROOT, capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert done.returncode == code, done.stderr
    return done.stdout


def own_database(server_url: str, name: str) -> str:
    """URL of an empty database of our own on the server."""
    import psycopg

    with psycopg.connect(server_url, autocommit=True) as connection:
        connection.execute(f"DROP DATABASE IF EXISTS {name}")
        connection.execute(f"CREATE DATABASE {name}")
    return urlunsplit(urlsplit(server_url)._replace(path=f"/{name}"))


DATABASES = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]


def database(request: Any, name: str) -> str:
    if request.param == "sqlite":
        return f"sqlite:///{request.getfixturevalue('tmp_path_factory').mktemp(name) / 'shop.sqlite3'}"
    return own_database(request.getfixturevalue("postgres_url"), name)


@pytest.fixture(scope="module", params=DATABASES)
def race(request: Any) -> dict[str, Any]:
    told = python(database(request, "billing_race"), "-m", "tests.shop.billing.race")
    answer: dict[str, Any] = json.loads(told.splitlines()[-1])
    return answer


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


SET_UP = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.shop.billing import cast
print(cast.new_job().pk)
"""

LOOK = """
import django, json; django.setup()
from circuits.outbox.models import OutboxRow
from estimating.quotes.models import NumberSeries
from shop.billing.document_record import read_document
from shop.billing.ledger import ledger_of
from shop.billing.models import Account, Balance, Document
rows = list(Document.objects.order_by("sequence"))
account = Account.objects.filter(steps__gt=0).first()
print(json.dumps({
    "sequences": [row.sequence for row in rows],
    "last": NumberSeries.objects.filter(name="I-2026").values_list("last", flat=True).first() or 0,
    "read": [read_document(row.content).number == row.number for row in rows],
    "balances": Balance.objects.count(),
    "queued": OutboxRow.objects.filter(task="billing.make_paper").count(),
    "steps": account.steps if account else 0,
    "open_agrees": all(
        Balance.objects.get(document__number=number).open == left
        for row in rows[:1] for number, left in ledger_of(row.job_id).account.open.items()
    ),
}))
"""


@pytest.fixture(params=DATABASES)
def shop(request: Any) -> tuple[str, str]:
    url = database(request, "billing_killed")
    return url, python(url, "-c", SET_UP).split()[-1]


def look(url: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(python(url, "-c", LOOK).splitlines()[-1])
    return told


def is_whole(told: dict[str, Any], *, queued: bool = True) -> bool:
    """Every invoice that is there is there with all that belongs to it, and no number is missing."""
    count = len(told["sequences"])
    return (
        told["sequences"] == list(range(1, count + 1))
        and told["last"] == count == told["balances"] == told["steps"]
        and all(told["read"])
        and told["open_agrees"]
        and (told["queued"] == count or not queued)
    )


def test_a_process_that_dies_in_the_middle_leaves_a_whole_invoice_or_none(shop):
    url, job = shop
    for point in killed.POINTS:
        python(url, "-m", "tests.shop.billing.killed", job, point, code=9)
        told = look(url)
        assert is_whole(told, queued=False), (point, told)
        assert len(told["sequences"]) == (1 if point == "committed" else 0), point
    python(url, "-m", "tests.shop.billing.killed", job, "never")
    assert look(url)["sequences"] == [1, 2], "the number of the dead is given to the next"


def test_a_process_killed_at_any_moment_leaves_no_gap_and_nothing_half_done(shop):
    url, job = shop
    chance = random.Random(11)
    for _ in range(KILLS):
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.shop.billing.killed", job, "always"],
            env=environment(url), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(chance.random() * 0.4)
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
    told = look(url)
    assert len(told["sequences"]) >= KILLS
    assert is_whole(told), told
