"""Celery workers as processes of their own, on the database and the broker of the test."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

ROOT = Path(__file__).resolve().parent.parent.parent
LEASE_S = 2


def database_url() -> str:
    """``DATABASE_URL`` of the database the test itself is on."""
    names = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{names['NAME']}"
    return f"postgresql://{names['USER']}@/{names['NAME']}?host={names['HOST']}"


def wait_until(happened: Callable[[], Any], what: str, timeout_s: float = 30) -> None:
    """Wait for something another process does; fail where it does not."""
    deadline = time.monotonic() + timeout_s
    while not happened():
        assert time.monotonic() < deadline, f"waited {timeout_s} s in vain: {what}"
        time.sleep(0.05)


@pytest.fixture
def broker(redis_url: str, settings: Any) -> Iterator[str]:
    """Queue through the session's broker, emptied first, instead of in the process."""
    from redis import Redis

    from shop.celery import app, make_app

    with Redis.from_url(redis_url) as client:
        client.flushall()
    settings.REDIS_URL, settings.OUTBOX_LEASE_S = redis_url, LEASE_S
    test_app = make_app(redis_url)
    yield redis_url
    test_app.close()
    app.set_current()
    app.set_default()


@contextmanager
def worker(redis_url: str, folder: Path, *options: str) -> Iterator[subprocess.Popen[bytes]]:
    """A running worker; killed at the end with all its processes."""
    environment = os.environ | {
        "DJANGO_SETTINGS_MODULE": "tests.servers.worker_settings",
        "DATABASE_URL": database_url(),
        "REDIS_URL": redis_url,
        "LOOMWRIGHT_LEASE_S": str(LEASE_S),
        "LOOMWRIGHT_VAR": str(folder),
    }
    command = ["celery", "-A", "shop", "worker", "--loglevel", "INFO", "--without-mingle", "--without-gossip", *options]
    with (folder / "worker.log").open("ab") as log:
        process = subprocess.Popen(
            [sys.executable, "-m", *command], cwd=ROOT, env=environment, stdout=log, stderr=log, start_new_session=True
        )
    try:
        yield process
    finally:
        # The whole group: a worker's pool and beat are processes too.
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()
