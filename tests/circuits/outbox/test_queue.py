"""Work is queued with its data or not at all, and worked off in the process where there is no broker."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import transaction
from django.utils import timezone

from circuits.outbox.models import OutboxRow, State
from circuits.outbox.progress import progress_of
from circuits.outbox.queue import NoTransactionError, enqueue
from circuits.outbox.registry import UnknownTaskError, task
from circuits.outbox.running import MAX_ATTEMPTS, run
from circuits.outbox.sweeping import KEEP_DONE, sweep
from tests.servers.work.tasks import FAIL_AT_FIRST, NOTE

pytestmark = pytest.mark.django_db(transaction=True)


def traces(folder):
    path = folder / "trace"
    return [line.split()[0] for line in path.read_text().splitlines()] if path.exists() else []


def test_work_runs_after_the_commit_and_not_before(tmp_path):
    with transaction.atomic():
        enqueue(NOTE, str(tmp_path), "worked")
        assert traces(tmp_path) == []
    assert traces(tmp_path) == ["worked"]
    assert OutboxRow.objects.get().state(timezone.now()) is State.DONE


def test_work_of_a_rolled_back_transaction_never_runs(tmp_path):
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        enqueue(NOTE, str(tmp_path), "worked")
        raise ZeroDivisionError
    sweep()
    assert traces(tmp_path) == []
    assert not OutboxRow.objects.exists()


def test_queueing_outside_a_transaction_is_refused(tmp_path):
    with pytest.raises(NoTransactionError, match=NOTE):
        enqueue(NOTE, str(tmp_path), "worked")


def test_an_unknown_name_is_refused_before_anything_is_written():
    with pytest.raises(UnknownTaskError, match=r"tests\.nothing"), transaction.atomic():
        enqueue("tests.nothing", 1)


def test_one_name_belongs_to_one_function():
    with pytest.raises(ValueError, match="registered twice"):
        task(NOTE)(lambda: None)


def test_a_failure_is_kept_and_tried_again(tmp_path):
    with transaction.atomic():
        row = enqueue(FAIL_AT_FIRST, str(tmp_path))
    row.refresh_from_db()
    assert (row.attempts, row.last_error) == (1, "RuntimeError: the fuse is out")
    assert progress_of(row.pk).step == "RuntimeError: the fuse is out"
    assert sweep() == 0, "not before its time"

    (tmp_path / "mended").touch()
    OutboxRow.objects.update(due_at=timezone.now())
    assert sweep() == 1
    row.refresh_from_db()
    assert (row.state(timezone.now()), row.attempts, row.last_error) == (State.DONE, 2, "")


def test_a_failure_does_not_fail_the_request_that_queued_it(tmp_path):
    with transaction.atomic():
        enqueue(FAIL_AT_FIRST, str(tmp_path))
        second = enqueue(NOTE, str(tmp_path), "worked")
    second.refresh_from_db()
    assert second.done_at


def test_work_is_given_up_after_the_last_attempt_and_can_be_tried_again(tmp_path, capsys):
    from django.core.management import call_command

    row = OutboxRow.objects.create(task=FAIL_AT_FIRST, args=[str(tmp_path)])
    for _ in range(MAX_ATTEMPTS + 2):
        run(row.pk)
    row.refresh_from_db()
    assert (row.attempts, row.state(timezone.now())) == (MAX_ATTEMPTS, State.FAILED)
    assert progress_of(row.pk).is_over

    (tmp_path / "mended").touch()
    call_command("sweep_outbox", again=True)
    assert "Given another try: 1" in capsys.readouterr().out
    assert progress_of(row.pk).state is State.DONE


def test_a_task_that_no_release_knows_any_more_is_a_failure_and_not_a_crash():
    row = OutboxRow.objects.create(task="tests.of_old", args=[])
    assert not run(row.pk)
    row.refresh_from_db()
    assert "tests.of_old" in row.last_error


def test_done_work_is_not_done_again(tmp_path):
    with transaction.atomic():
        row = enqueue(NOTE, str(tmp_path), "worked")
    assert not run(row.pk)
    assert traces(tmp_path) == ["worked"]


def test_work_in_another_workers_hands_is_left_there(tmp_path):
    row = OutboxRow.objects.create(
        task=NOTE, args=[str(tmp_path), "worked"], claimed_until=timezone.now() + timedelta(seconds=30)
    )
    assert not run(row.pk)
    assert progress_of(row.pk).state is State.RUNNING
    OutboxRow.objects.update(claimed_until=timezone.now())
    assert run(row.pk)


def test_done_rows_are_dropped_in_the_end(tmp_path):
    with transaction.atomic():
        enqueue(NOTE, str(tmp_path), "worked")
    OutboxRow.objects.update(done_at=timezone.now() - KEEP_DONE - timedelta(minutes=1))
    sweep()
    assert not OutboxRow.objects.exists()


def test_an_error_in_delivering_does_not_reach_whoever_committed(monkeypatch, tmp_path):
    def fail(row_id):
        raise OSError("the disk is full")

    monkeypatch.setattr("circuits.outbox.delivery.run", fail)
    with transaction.atomic():
        row = enqueue(NOTE, str(tmp_path), "worked")
    monkeypatch.undo()
    assert sweep() == 1
    assert progress_of(row.pk).state is State.DONE
