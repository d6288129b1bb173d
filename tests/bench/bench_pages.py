"""Pages of a shop with 500 jobs of 60 circuits each: SQLite, two web workers, one log-in.

Goals: the list of jobs at most 0.6 × the admin's list of the same rows in the same run (95 of 100 answers), the deepest
page at most 1.3 × the first, the plan of 120 circuits under 150 ms. Requests go round in turn, so that a slow
moment of the machine falls on all alike.
"""

from __future__ import annotations

import http.client
import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

JOBS, CIRCUITS, LARGE_PLAN = 500, 60, 120
ROUNDS, WARM_UP = 60, 5
LIST_GOAL, DEEPEST_GOAL, PLAN_GOAL_MS = 0.6, 1.3, 150.0
LAST_PAGE = JOBS // 25


def main() -> int:
    """Print the times and ratios; 1 where a goal is missed."""
    with tempfile.TemporaryDirectory(prefix="loomwright-bench-") as folder:
        os.environ |= {"LOOMWRIGHT_VAR": folder, "DJANGO_SETTINGS_MODULE": "tests.bench.peer_site"}
        for name in ("DATABASE_URL", "REDIS_URL", "LOOMWRIGHT_HTTPS", "LOOMWRIGHT_DEBUG"):
            os.environ.pop(name, None)
        import django

        django.setup()
        session, large_plan = _fill()
        with _served(Path(folder)) as port:
            return _report(_measure(port, session, large_plan))


def _fill() -> tuple[str, int]:
    """The rows, and a log-in; the session's key and the key of the large plan."""
    from django.conf import settings
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore
    from django.core.management import call_command
    from django.db import connection, transaction
    from django.utils import timezone

    from circuits.planning.store import create_plan
    from shop.jobs.models import Customer, Stage, Vehicle
    from shop.jobs.services import Opening, open_job
    from shop.people.models import Role, User
    from tests.bench.made_plan import PULLED, made_plan

    call_command("migrate", verbosity=0, interactive=False)
    call_command("collectstatic", verbosity=0, interactive=False)
    plan, stages = made_plan(CIRCUITS, dispositions=PULLED), list(Stage)
    with transaction.atomic():
        for i in range(JOBS):
            customer = Customer.objects.create(name=f"Customer {i * 7919 % JOBS:03}", phone=f"01 555 {i:04}")
            vehicle = Vehicle.objects.create(customer=customer, description=f"Vehicle {i:03}", plate=f"P {i:03}")
            row = create_plan(title=f"plan {i}", plan=plan, by="bench")
            opening = Opening(f"Job {i:03}")
            job = open_job(customer=customer, vehicle=vehicle, plan=row, opening=opening, by="bench", at=timezone.now())
            type(job).objects.filter(pk=job.pk).update(stage=stages[i % len(stages)])
        large = create_plan(title="large", plan=made_plan(LARGE_PLAN, dispositions=PULLED), by="bench")
        user = User.objects.create_user("owner", role=Role.OWNER)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    session = SessionStore()
    session[SESSION_KEY], session[BACKEND_SESSION_KEY] = str(user.pk), settings.AUTHENTICATION_BACKENDS[0]
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.create()
    assert session.session_key
    return session.session_key, large.pk


@contextmanager
def _served(folder: Path) -> Iterator[int]:
    """The site on a free port, by two worker processes."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "gunicorn", "shop.wsgi", "--workers", "2", "--bind", f"127.0.0.1:{port}"]
    with (folder / "web.log").open("w") as log, subprocess.Popen(command, stdout=log, stderr=log) as web:
        try:
            _wait_for(port)
            yield port
        finally:
            web.terminate()


def _wait_for(port: int) -> None:
    for _ in range(200):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError("the web server did not start")


def _measure(port: int, session: str, large_plan: int) -> dict[str, list[float]]:
    """Milliseconds of each answer, by page."""
    pages = {
        "jobs, first page": "/",
        "jobs, deepest page": f"/?page={LAST_PAGE}",
        "jobs, by customer": "/?sort=customer",
        "jobs, found": "/?q=customer+12",
        "admin's list": "/admin/jobs/job/",
        f"plan of {LARGE_PLAN} circuits": f"/plans/{large_plan}/",
    }
    times: dict[str, list[float]] = {name: [] for name in pages}
    get = _getter(port, session)
    for turn in range(ROUNDS + WARM_UP):
        for name, path in pages.items():
            ms = get(path)
            if turn >= WARM_UP:
                times[name].append(ms)
    return times


def _getter(port: int, session: str) -> Callable[[str], float]:
    def get(path: str) -> float:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        began = time.perf_counter()
        connection.request("GET", path, headers={"Cookie": f"sessionid={session}"})
        answer = connection.getresponse()
        answer.read()
        took_ms = (time.perf_counter() - began) * 1000
        connection.close()
        assert answer.status == 200, f"{path}: {answer.status}"
        return took_ms

    return get


def _share(times: list[float], share: float) -> float:
    return sorted(times)[min(len(times) - 1, round(share * len(times)))]


def _report(times: dict[str, list[float]]) -> int:
    p95 = {name: _share(values, 0.95) for name, values in times.items()}
    for name, values in times.items():
        print(f"  {name:<28} p50 {_share(values, 0.5):7.1f} ms   p95 {p95[name]:7.1f} ms")
    goals = (
        ("list : admin's list, p95", p95["jobs, first page"] / p95["admin's list"], LIST_GOAL),
        ("deepest : first page, p50", _ratio(times, "jobs, deepest page", "jobs, first page"), DEEPEST_GOAL),
        (f"plan of {LARGE_PLAN} circuits, p95 ms", p95[f"plan of {LARGE_PLAN} circuits"], PLAN_GOAL_MS),
    )
    for name, value, goal in goals:
        print(f"  {name:<32} {value:7.2f}   goal {goal:g}: {'kept' if value <= goal else 'MISSED'}")
    return int(any(value > goal for _, value, goal in goals))


def _ratio(times: dict[str, list[float]], one: str, other: str) -> float:
    return _share(times[one], 0.5) / _share(times[other], 0.5)


if __name__ == "__main__":
    sys.exit(main())
