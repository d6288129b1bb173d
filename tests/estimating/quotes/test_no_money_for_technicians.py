"""Technicians see no price anywhere: every address of the app is asked for, page and file alike."""

import re

import pytest
from django.urls import URLPattern, get_resolver, reverse
from django.utils import timezone

from estimating.quotes import urls
from estimating.quotes.services import send_revision
from estimating.quotes.settings_services import save_terms, start_price_book
from estimating.quotes.store import terms_row, work_up_plan

OPEN_TO_TECHNICIANS = {"parts", "hours", "minutes"}
MONEY = re.compile(r"CHF|[€$£¥]|\bprices?\b|\bcost\b|\bnet\b", re.IGNORECASE)


@pytest.fixture
def addresses(plan, quote):
    """Every address of the app by name."""
    start_price_book()
    row = terms_row()
    row.currency = "CHF"
    save_terms(row=row)
    send_revision(quote=quote, by="Ada", at=timezone.now())
    values = {"plan_id": plan.pk, "quote_id": quote.pk, "number": 1, "price_id": 1}
    patterns = [pattern for pattern in urls.urlpatterns if isinstance(pattern, URLPattern)]
    return {
        str(each.name): reverse(f"quotes:{each.name}", kwargs={key: values[key] for key in each.pattern.converters})
        for each in patterns
    }


def test_everything_but_parts_hours_and_minutes_is_closed(technician, addresses):
    opened = {name for name, url in addresses.items() if technician.get(url).status_code == 200}
    assert opened == OPEN_TO_TECHNICIANS
    refused = {technician.post(url).status_code for name, url in addresses.items() if name not in opened}
    assert refused <= {403, 405}


@pytest.mark.parametrize("query", ["", "?as=csv"])
def test_no_word_or_figure_of_money_in_what_is_open(technician, plan, addresses, query):
    quote = work_up_plan(plan.pk).quote
    assert quote.currency == "CHF"
    amounts = {str(quote.total), str(quote.net), f"{quote.total:,}", f"{quote.net:,}"}
    amounts |= {str(price.net) for price in quote.part_prices if price.net > 10}
    for name in OPEN_TO_TECHNICIANS:
        text = technician.get(addresses[name] + query).content.decode()
        body = re.sub(r"<head>.*?</head>", "", text, flags=re.DOTALL)
        assert not MONEY.search(re.sub(r"<[^>]+>", " ", body)), name
        assert not [amount for amount in amounts if amount in body], name


def test_addresses_are_those_of_the_site(addresses):
    assert get_resolver().namespace_dict["quotes"]
    assert len(addresses) >= 19
