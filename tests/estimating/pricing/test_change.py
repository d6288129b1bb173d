"""A priced change is the difference of two work-ups, to the cent, in whatever steps it is made."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.errors import PlanError
from estimating.pricing.book import PriceBook
from estimating.pricing.change import agreed_book, agreed_with_tax, price_change
from estimating.pricing.price import tax_groups
from estimating.pricing.quote import LineClass, PartPrice, PricedQuote, PriceItem, QuoteLine

D = Decimal
RATES = {LineClass.LABOUR: D("5.5"), LineClass.PARTS: D(20), LineClass.SUNDRIES: D(20)}


def quote_of(lines: tuple[QuoteLine, ...], parts: tuple[PartPrice, ...] = (), currency: str = "EUR") -> PricedQuote:
    taxes = tax_groups(((line.net, line.tax_percent) for line in lines), currency)
    net, tax = sum((line.net for line in lines), D(0)), sum((one.tax for one in taxes), D(0))
    return PricedQuote(currency, lines, parts, taxes, net, tax, net + tax, D(0))


def labour(section: str, hours: str) -> QuoteLine:
    net = (D(hours) * 75).quantize(D("0.01"))
    return QuoteLine(LineClass.LABOUR, f"Labour: {section}", D(hours), "h", D(75), net, RATES[LineClass.LABOUR])


def part(spec: str, quantity: str) -> PartPrice:
    return PartPrice("wire", spec, D(quantity), "m", D(1), D(2), D(quantity) * 2, "")


@st.composite
def quotes(draw: st.DrawFn) -> PricedQuote:
    """A quote of some lines, each class and text once."""
    lines = []
    for line_class, text in draw(
        st.lists(st.sampled_from([(c, t) for c in RATES for t in ("one", "two", "three")]), unique=True, max_size=7)
    ):
        net = D(draw(st.integers(1, 10**6))) / 100
        lines.append(QuoteLine(line_class, text, D(1), "lot", net, net, RATES[line_class]))
    return quote_of(tuple(lines))


@given(quotes())
def test_the_same_plan_is_no_change(quote):
    change = price_change(quote, quote, quote.lines)
    assert change.is_nothing
    assert [change.net, change.tax, change.total] == [0, 0, 0]


@given(quotes(), st.lists(quotes(), min_size=1, max_size=4))
def test_the_quote_and_its_changes_come_to_the_last_work_up(first, steps):
    agreed, now, totals = first.lines, first, first.total
    for wanted in steps:
        change = price_change(now, wanted, agreed)
        assert change.before == totals
        assert change.total == change.net + change.tax == change.after - change.before
        agreed, now, totals = (*agreed, *change.lines), wanted, totals + change.total
    assert totals == steps[-1].total == agreed_with_tax(agreed, "EUR")


@given(quotes(), quotes())
def test_there_and_back_is_nothing(one, two):
    there = price_change(one, two, one.lines)
    back = price_change(two, one, (*one.lines, *there.lines))
    assert [there.net + back.net, there.tax + back.tax, there.total + back.total] == [0, 0, 0]


def test_hours_and_parts_are_told_as_more_or_less():
    before = quote_of((labour("rear", "2.0"), labour("front", "1.0")), (part("14 AWG RD", "3"), part("16 AWG", "1")))
    after = quote_of((labour("rear", "3.5"),), (part("14 AWG RD", "4.5"),))
    change = price_change(before, after, before.lines)
    assert [line.text for line in change.lines] == ["Labour: rear, 1.5 h more", "Labour: front, 1 h less"]
    assert change.hours == D("0.5")
    assert [(one.spec, one.by) for one in change.parts] == [("14 AWG RD", D("1.5")), ("16 AWG", D(-1))]


def test_two_currencies_have_no_difference():
    with pytest.raises(PlanError, match="EUR to CHF"):
        price_change(quote_of(()), quote_of((), currency="CHF"), ())


def test_an_agreed_price_holds_whatever_the_book_says_today():
    today = PriceBook([PriceItem("wire", "14 AWG RD", "m", D(9)), PriceItem("wire", "*", "m", D(7))])
    book = agreed_book([part("14 AWG RD", "1")], today)
    known, new = book.find("wire", "14 AWG RD"), book.find("wire", "2 AWG")
    assert known is not None
    assert new is not None
    assert (known.price, new.cost) == (D(2), D(7))


def test_only_what_the_change_brings_can_be_without_a_price():
    before = PricedQuote("EUR", (), (), (), D(0), D(0), D(0), D(0), unpriced=("clip x",))
    after = PricedQuote("EUR", (), (), (), D(0), D(0), D(0), D(0), unpriced=("clip x", "relay y"))
    assert price_change(before, after, ()).unpriced == ("relay y",)
