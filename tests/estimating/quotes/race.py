"""Run as a program: many people act on the same quotes at once. Prints what came of it as JSON.

The database is that of ``LOOMWRIGHT_TEST_DATABASE_URL``; it must be empty.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from functools import partial
from typing import Any

from tests.servers.races import at_once

PEOPLE = 4
ROUNDS = 4
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def main() -> dict[str, Any]:
    """All races; the counts of what is left."""
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import DatabaseError, connection, transaction

    from circuits.planning.store import create_plan
    from estimating.quotes import events
    from estimating.quotes.models import QuoteRevision, QuoteRow
    from estimating.quotes.services import accept_revision, create_quote, send_revision
    from tests.estimating.quotes import cast

    call_command("migrate", verbosity=0)
    plan = create_plan(title="Heron", plan=cast.PLAN, by="Ada")
    heard: list[int] = []
    events.quote_accepted.connect(lambda revision, **_: heard.append(revision.pk), weak=False)

    def new_quote() -> QuoteRow:
        return create_quote(plan=plan, addressee="R. Oduya", vehicle="", by="Ada", at=NOON)

    def create_or_fail(fails: bool) -> None:
        with transaction.atomic():
            new_quote()
            transaction.set_rollback(fails)

    told: dict[str, Any] = {"send": [], "accept": [], "send_or_accept": [], "states": []}
    told["create"] = at_once(*(partial(create_or_fail, i % 3 == 2) for i in range(9)))
    told["numbers"] = sorted(QuoteRow.objects.values_list("number", flat=True))
    for _ in range(ROUNDS):
        quote = new_quote()
        told["send"].append(at_once(*[partial(send_revision, quote=quote, by="Ada", at=NOON, expected=1)] * PEOPLE))
        revision = quote.revisions.get()
        told["accept"].append(at_once(*[partial(accept_revision, revision=revision, name="R. O.", at=NOON)] * PEOPLE))
        other = new_quote()
        first = send_revision(quote=other, by="Ada", at=NOON)
        told["send_or_accept"].append(
            at_once(
                partial(send_revision, quote=other, by="Ada", at=NOON),
                partial(accept_revision, revision=first, name="R. O.", at=NOON),
            )
        )
        told["states"].append(list(other.revisions.order_by("number").values_list("state", flat=True)))
    told["heard"] = len(heard)
    told["accepted"] = QuoteRevision.objects.filter(state="accepted").count()
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("UPDATE quotes_quoterevision SET content = '{}' WHERE state = 'accepted'")
        told["guard"] = "no guard"
    except DatabaseError as error:
        told["guard"] = str(error)
    return told


if __name__ == "__main__":
    print(json.dumps(main()))
