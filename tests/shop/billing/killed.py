"""Run as a program: processes that issue invoices die in the middle. Prints what each death left behind, as JSON.

Each death is that of a forked child, on the spot and without clean-up, as in a power cut. The database is that of
``LOOMWRIGHT_TEST_DATABASE_URL``; it must be empty.
"""

from __future__ import annotations

import json
import os
import random
import signal
import time
from collections.abc import Callable
from functools import partial
from typing import Any

POINTS = ("numbered", "stored", "balanced", "queued", "committed")
KILLS = 6
DEAD = 9


def in_child(act: Callable[[], object]) -> int:
    """Forks, and runs ``act`` in the child, whose end is its answer; the child's process id."""
    from django.db import connections

    connections.close_all()
    child = os.fork()
    if child:
        return child
    try:
        act()
    finally:
        os._exit(0)


def issue_and_die_at(where: str, job_id: int) -> None:
    """Issues an invoice, and ends at the point named; at none, lives."""
    from django.db import transaction

    from shop.billing import services
    from shop.billing.models import Document
    from shop.jobs.models import Job
    from tests.shop.billing import cast

    def dying(after: Any) -> Any:
        def run(*args: Any, **kwargs: Any) -> Any:
            after(*args, **kwargs)
            os._exit(DEAD)

        return run

    named = {"numbered": "next_number", "balanced": "_keep", "queued": "enqueue"}
    if where in named:
        setattr(services, named[where], dying(getattr(services, named[where])))
    elif where == "stored":
        setattr(Document, "save", dying(Document.save))  # noqa: B010
    elif where == "committed":
        setattr(services, "enqueue", lambda *_: transaction.on_commit(lambda: os._exit(DEAD)))  # noqa: B010
    cast.issue(Job.objects.select_related("customer", "vehicle").get(pk=job_id))


def issue_for_ever(job_id: int, pipe: int) -> None:
    """Issues until somebody kills it; says so after the first."""
    while True:
        issue_and_die_at("", job_id)
        os.write(pipe, b".")


def left_behind() -> dict[str, Any]:
    """What is in the database, and whether it belongs together."""
    from circuits.outbox.models import OutboxRow
    from estimating.quotes.models import NumberSeries
    from shop.billing.document_record import read_document
    from shop.billing.ledger import ledger_of
    from shop.billing.models import Account, Balance, Document

    rows = list(Document.objects.order_by("sequence"))
    account = Account.objects.filter(steps__gt=0).first()
    opened = ledger_of(rows[0].job_id).account.open if rows else {}
    return {
        "sequences": [row.sequence for row in rows],
        "last": NumberSeries.objects.filter(name="I-2026").values_list("last", flat=True).first() or 0,
        "read": [read_document(row.content).number == row.number for row in rows],
        "balances": Balance.objects.count(),
        "queued": OutboxRow.objects.filter(task="billing.make_paper").count(),
        "steps": account.steps if account else 0,
        "open_agrees": dict(Balance.objects.values_list("document__number", "open")) == opened,
    }


def main() -> dict[str, Any]:
    """All deaths."""
    import django

    django.setup()
    from django.core.management import call_command

    from tests.shop.billing import cast

    call_command("migrate", verbosity=0)
    told: dict[str, Any] = {"points": {}, "ends": {}}
    job = cast.new_job().pk
    for point in (*POINTS, "never"):
        child = in_child(partial(issue_and_die_at, point, job))
        told["ends"][point] = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        told["points"][point] = left_behind()
    before = len(left_behind()["sequences"])
    chance = random.Random(11)
    for _ in range(KILLS):
        reading, writing = os.pipe()
        child = in_child(partial(issue_for_ever, job, writing))
        os.read(reading, 1)
        time.sleep(chance.random() * 0.4)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(reading)
        os.close(writing)
    told["killed"] = left_behind()
    told["issued_by_the_killed"] = len(told["killed"]["sequences"]) - before
    return told


if __name__ == "__main__":
    print(json.dumps(main()))
