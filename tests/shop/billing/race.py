"""Run as a program: many people act on the money of the same shop at once. Prints what came of it as JSON.

The database is that of ``LOOMWRIGHT_TEST_DATABASE_URL``; it must be empty.
"""

from __future__ import annotations

import json
import random
from functools import partial
from typing import Any
from uuid import uuid4

ISSUES = 50
PEOPLE = 10


def main() -> dict[str, Any]:
    """All races; what is left of each."""
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import transaction
    from django.db.models import Sum

    from shop.billing.change_services import answer_change, send_change
    from shop.billing.drafting import books_of
    from shop.billing.ledger import ledger_of
    from shop.billing.models import Account, Balance, Change, Document, Payment
    from shop.billing.orders import What
    from tests.estimating.quotes.cast import FAN, HEADLAMP, SOCKET, TAIL
    from tests.servers.races import at_once
    from tests.shop.billing import cast

    call_command("migrate", verbosity=0)
    jobs = [cast.new_job(f"Customer {index}") for index in range(5)]
    chance = random.Random(7)
    told: dict[str, Any] = {}

    def issue_or_fail(index: int, fails: bool) -> None:
        with transaction.atomic():
            cast.issue(jobs[index % len(jobs)])
            transaction.set_rollback(fails)

    fails = [chance.random() < 0.1 for _ in range(ISSUES)]
    told["issue"] = at_once(*(partial(issue_or_fail, index, fail) for index, fail in enumerate(fails)))
    told["wanted"] = ISSUES - sum(fails)
    told["sequences"] = sorted(Document.objects.values_list("sequence", flat=True))
    told["steps"] = {
        str(job.pk): sorted(Document.objects.filter(job=job).values_list("step", flat=True)) for job in jobs
    }

    key = uuid4()
    told["same_key"] = at_once(*[partial(cast.issue, jobs[0], key=key)] * PEOPLE)
    told["with_key"] = Document.objects.filter(key=key).count()

    booked = cast.booked_job()
    told["rest"] = at_once(*[partial(cast.issue, booked, What.REST)] * PEOPLE)
    told["rest_left"] = str(books_of(booked).agreed_left)

    invoice = Document.objects.filter(job=booked).get()
    told["pay"] = at_once(*[partial(cast.pay, booked, "10.00", invoice)] * PEOPLE)
    told["paid"] = str(Payment.objects.filter(job=booked).aggregate(Sum("amount"))["amount__sum"])
    told["open_kept"] = str(Balance.objects.get(document=invoice).open.normalize())
    told["open_replayed"] = str(ledger_of(booked.pk).account.open[invoice.number].normalize())

    cast.plan_becomes(booked, HEADLAMP, TAIL, FAN, SOCKET)
    send = partial(send_change, job=booked, note="", by="Otto", at=cast.NOON, expected=1)
    told["send_change"] = at_once(*[send] * PEOPLE)
    change = Change.objects.get(job=booked)
    answer = partial(answer_change, change=change, name="A. F.", at=cast.NOON)
    told["answer_change"] = at_once(*[partial(answer, accepted=index % 2 == 0) for index in range(PEOPLE)])
    change.refresh_from_db()
    told["change"] = change.state

    over = cast.new_job("Over")
    cast.issue(over)
    cast.pay(over, "220.00")
    told["refund"] = at_once(*[partial(cast.give_back, over, "60.00")] * PEOPLE)
    told["held"] = str(Account.objects.get(job=over).held.normalize())
    return told


if __name__ == "__main__":
    print(json.dumps(main()))
