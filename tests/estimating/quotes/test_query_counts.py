"""Every page costs the same number of queries for 1 and for 120 circuits."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from circuits.planning.store import create_plan
from estimating.quotes.services import create_quote, send_revision
from estimating.quotes.settings_services import start_price_book
from tests.estimating.quotes import cast

MOST = 22


def _count(client, url):
    with CaptureQueriesContext(
        connection,
    ) as queries:
        answer = client.get(url)
    assert answer.status_code == 200
    return len(queries)


def _addresses(count, revisions=1):
    plan = create_plan(title=f"{count} circuits", plan=cast.plan_with(count), by="Ada")
    quote = create_quote(plan=plan, addressee="R. Oduya", vehicle="", by="Ada")
    for _ in range(revisions):
        send_revision(quote=quote, by="Ada", at=timezone.now())
    return {
        "parts": reverse("quotes:parts", args=[plan.pk]),
        "hours": reverse("quotes:hours", args=[plan.pk]),
        "quote": reverse("quotes:quote", args=[quote.pk]),
        "draft_paper": reverse("quotes:draft_paper", args=[quote.pk]),
        "revision": reverse("quotes:revision", args=[quote.pk, revisions]),
    }


@pytest.mark.parametrize("name", ["parts", "hours", "quote", "draft_paper", "revision"])
def test_page_costs_the_same_whatever_the_plan(owner, name):
    few, many = _addresses(1), _addresses(120)
    _count(owner, reverse("quotes:minutes"))
    counts = {_count(owner, few[name]), _count(owner, many[name])}
    assert len(counts) == 1, counts
    assert counts.pop() <= MOST


def test_page_of_a_quote_costs_the_same_whatever_was_sent(owner, db):
    once, often = _addresses(2), _addresses(2, revisions=12)
    _count(owner, reverse("quotes:minutes"))
    assert _count(owner, once["quote"]) == _count(owner, often["quote"])


def test_page_of_prices_costs_the_same_whatever_the_book(owner, db):
    url = reverse("quotes:prices")
    start_price_book()
    _count(owner, url)
    whole, page = _count(owner, url), _count(owner, url + "?q=clip")
    assert whole == page <= 8
