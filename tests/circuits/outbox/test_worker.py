"""A row once committed is worked off, whatever dies: with a real broker and real workers."""

from __future__ import annotations

import os
import signal
import time

import pytest
from django.db import transaction
from django.utils import timezone

from circuits.outbox.models import OutboxRow, State
from circuits.outbox.progress import progress_of
from circuits.outbox.queue import enqueue
from circuits.outbox.sweeping import sweep
from shop.celery import make_app
from tests.servers.work.tasks import HOLD, NOTE
from tests.servers.workers import LEASE_S, wait_until, worker

pytestmark = pytest.mark.django_db(transaction=True)


def traces(folder):
    path = folder / "trace"
    return [line.split()[0] for line in path.read_text().splitlines()] if path.exists() else []


def queue(name, *args):
    with transaction.atomic():
        return enqueue(name, *args)


def test_a_worker_works_off_what_was_committed(broker, tmp_path):
    with worker(broker, tmp_path):
        rows = [queue(NOTE, str(tmp_path), f"row{number}") for number in range(20)]
        wait_until(lambda: len(traces(tmp_path)) == len(rows), "all rows worked off")
        wait_until(lambda: not OutboxRow.objects.filter(done_at=None).exists(), "all rows done")
    assert sorted(traces(tmp_path)) == sorted(f"row{number}" for number in range(20))
    assert str(os.getpid()) not in (tmp_path / "trace").read_text()


def test_work_outlives_the_worker_killed_in_the_midst_of_it(broker, tmp_path):
    row = queue(HOLD, str(tmp_path))
    with worker(broker, tmp_path, "--pool", "solo") as first:
        wait_until(lambda: traces(tmp_path) == ["began"], "the first worker began")
        wait_until(lambda: progress_of(row.pk).steps_done == 1, "its progress is seen")
        os.kill(first.pid, signal.SIGKILL)
        first.wait()
    assert progress_of(row.pk).state is State.RUNNING, "nobody knows yet"
    (tmp_path / "go").touch()
    with worker(broker, tmp_path, "--pool", "solo"):
        wait_until(lambda: sweep() or OutboxRow.objects.filter(done_at__isnull=False).exists(), "the sweep saw it")
        wait_until(lambda: progress_of(row.pk).state is State.DONE, "another worker did it")
    assert traces(tmp_path) == ["began", "began", "ended"]
    row.refresh_from_db()
    assert row.attempts == 2


def test_work_outlives_its_pool_process_killed(broker, tmp_path):
    row = queue(HOLD, str(tmp_path))
    with worker(broker, tmp_path, "--pool", "prefork", "--concurrency", "1"):
        wait_until(lambda: traces(tmp_path) == ["began"], "a pool process began")
        pid = int((tmp_path / "trace").read_text().split()[1])
        os.kill(pid, signal.SIGKILL)
        (tmp_path / "go").touch()
        wait_until(lambda: (sweep(), progress_of(row.pk).state is State.DONE)[1], "its successor did it")
    assert traces(tmp_path) == ["began", "began", "ended"]


def test_a_live_worker_keeps_long_work_to_itself(broker, tmp_path):
    row = queue(HOLD, str(tmp_path))
    with worker(broker, tmp_path, "--pool", "solo"), worker(broker, tmp_path, "--pool", "solo", "-n", "second"):
        wait_until(lambda: traces(tmp_path) == ["began"], "one worker began")
        over = time.monotonic() + 2.5 * LEASE_S
        while time.monotonic() < over:
            assert sweep() == 0, "the lease is renewed, so the row is never due"
            time.sleep(0.2)
        (tmp_path / "go").touch()
        wait_until(lambda: progress_of(row.pk).state is State.DONE, "it is done")
    assert traces(tmp_path) == ["began", "ended"]


def test_doubled_messages_do_the_work_once(broker, tmp_path):
    row = queue(NOTE, str(tmp_path), "worked")
    for _ in range(5):
        OutboxRow.objects.update(due_at=timezone.now())
        assert sweep() == 1
    last = queue(NOTE, str(tmp_path), "last")
    with worker(broker, tmp_path, "--pool", "solo"):
        wait_until(lambda: progress_of(last.pk).state is State.DONE, "the queue is worked off")
    assert traces(tmp_path) == ["worked", "last"]
    row.refresh_from_db()
    assert row.attempts == 1


def test_a_commit_stands_while_the_broker_is_away_and_is_sent_later(broker, settings, tmp_path):
    away = "redis://127.0.0.1:1/0"
    settings.REDIS_URL = away
    make_app(away)
    began = time.monotonic()
    row = queue(NOTE, str(tmp_path), "worked")
    assert time.monotonic() - began < 5, "a page must not wait for a broker that is away"
    row.refresh_from_db()
    assert row.sent_at is None
    assert row.state(timezone.now()) is State.WAITING

    settings.REDIS_URL = broker
    make_app(broker)
    assert sweep() == 1
    with worker(broker, tmp_path, "--pool", "solo"):
        wait_until(lambda: progress_of(row.pk).state is State.DONE, "it is done after all")


def test_beat_sends_the_sweep(broker, tmp_path):
    row = OutboxRow.objects.create(task=NOTE, args=[str(tmp_path), "worked"])
    with worker(broker, tmp_path, "--beat", "--schedule", str(tmp_path / "schedule")):
        wait_until(lambda: progress_of(row.pk).state is State.DONE, "the periodic sweep delivered it", 45)
