"""A quote's lines, taxes and totals, by property and against the rules of EN 16931."""

import csv
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.errors import PlanError
from estimating.labour.hours import Hours, Spread
from estimating.pricing.book import PriceBook, selling_price
from estimating.pricing.money import decimals_of, rounded
from estimating.pricing.price import price_parts, price_quote, tax_groups
from estimating.pricing.quote import LabourBasis, LineClass, PriceItem, Terms
from estimating.takeoff.parts import Part, PartKind, Unit

REFERENCE = Path(__file__).parents[2] / "reference"
CURRENCIES = ["EUR", "JPY", "KWD"]
PERCENTS = st.decimals(0, 100, places=2)

PARTS = st.lists(
    st.builds(
        Part,
        kind=st.sampled_from(list(PartKind)),
        spec=st.sampled_from(["small", "middle", "large"]),
        quantity=st.one_of(st.integers(1, 500).map(float), st.floats(0.01, 500)),
        unit=st.just(Unit.PIECE),
        circuits=st.just(()),
    ),
    max_size=25,
    unique_by=lambda part: (part.kind, part.spec),
)
ITEMS = st.lists(
    st.builds(
        PriceItem,
        kind=st.sampled_from(list(PartKind)).map(str),
        spec=st.sampled_from(["small", "middle", "*", "la*"]),
        unit=st.sampled_from(["piece", "piece", "piece", "m"]),
        cost=st.decimals(0, 500, places=4),
        markup_percent=st.none() | PERCENTS,
        price=st.none() | st.decimals(0, 500, places=4),
    ),
    max_size=40,
    unique_by=lambda item: (item.kind, item.spec),
)
SPREADS = st.floats(0.01, 200).map(lambda mean: Spread(mean, mean / 5, mean * 0.98, mean * 1.15, mean * 1.3))


@st.composite
def hours(draw):
    sections = draw(st.lists(SPREADS, max_size=8))
    mean = sum(one.mean_h for one in sections)
    total = Spread(mean, mean / 6, mean * 0.98, mean * 1.13, mean * 1.2)
    return Hours(total, tuple((f"section {number}", one) for number, one in enumerate(sections)), (), ())


@st.composite
def terms(draw):
    return Terms(
        currency=draw(st.sampled_from(CURRENCIES)),
        rate_per_h=draw(st.decimals(0, 300, places=2)),
        labour_basis=draw(st.sampled_from(LabourBasis)),
        markup_percent=draw(PERCENTS),
        sundries_percent=draw(PERCENTS),
        carriage=draw(st.decimals(0, 200, places=2)),
        tax_percent=tuple((one, draw(PERCENTS)) for one in draw(st.sets(st.sampled_from(LineClass)))),
        deposit_percent=draw(PERCENTS),
    )


QUOTES = st.builds(
    lambda *given: (price_quote(given[0], given[1], PriceBook(given[2]), given[3]), given[3]),
    PARTS,
    hours(),
    ITEMS,
    terms(),
)


@given(QUOTES)
def test_lines_add_up_to_the_net(made):
    """EN 16931 BR-CO-10: sum of the line nets."""
    quote, _ = made
    assert quote.net == sum(line.net for line in quote.lines)


@given(QUOTES)
def test_tax_is_taken_by_rate_on_the_sum_of_its_lines(made):
    """EN 16931 BR-S-08 and BR-CO-17."""
    quote, terms = made
    for group in quote.taxes:
        base = sum(line.net for line in quote.lines if line.tax_percent == group.tax_percent)
        assert group.taxable == base
        assert group.tax == rounded(base * group.tax_percent / 100, terms.currency)
    assert len({group.tax_percent for group in quote.taxes}) == len(quote.taxes)
    assert sum(group.taxable for group in quote.taxes) == quote.net


@given(QUOTES)
def test_total_is_net_and_tax(made):
    """EN 16931 BR-CO-14 and BR-CO-15."""
    quote, _ = made
    assert quote.tax == sum(group.tax for group in quote.taxes)
    assert quote.total == quote.net + quote.tax


@given(QUOTES)
def test_each_line_is_quantity_times_price(made):
    quote, terms = made
    for line in quote.lines:
        assert line.net == rounded(line.quantity * line.unit_price, terms.currency)
    for part in quote.part_prices:
        assert part.net == rounded(part.quantity * part.unit_price, terms.currency)


@given(QUOTES)
def test_parts_lines_add_up_to_the_priced_parts(made):
    quote, _ = made
    parts = sum(line.net for line in quote.lines if line.line_class is LineClass.PARTS)
    assert parts == sum(part.net for part in quote.part_prices)


@given(QUOTES)
def test_nothing_is_negative_and_every_amount_has_the_decimals_of_the_currency(made):
    quote, terms = made
    amounts = [quote.net, quote.tax, quote.total, quote.deposit]
    amounts += [line.net for line in quote.lines] + [group.tax for group in quote.taxes]
    assert all(amount >= 0 for amount in amounts)
    assert {-amount.as_tuple().exponent for amount in amounts} == {decimals_of(terms.currency)}


@given(QUOTES)
def test_the_deposit_is_a_share_of_the_total(made):
    quote, terms = made
    assert quote.deposit == rounded(quote.total * terms.deposit_percent / 100, terms.currency)
    assert quote.deposit <= quote.total


@given(PARTS, ITEMS, terms(), st.randoms(use_true_random=False))
def test_the_order_of_parts_and_of_the_book_changes_nothing(parts, items, terms, random):
    none = Hours(Spread(0, 0, 0, 0, 0), (), (), ())
    before = price_quote(parts, none, PriceBook(items), terms)
    random.shuffle(parts)
    random.shuffle(items)
    assert price_quote(parts, none, PriceBook(items), terms) == before


@given(PARTS, ITEMS, terms())
def test_every_part_is_priced_once_or_named(parts, items, terms):
    found = price_parts(parts, PriceBook(items), terms)
    assert len(found.priced) + len(found.unpriced) == len(parts)


@given(PARTS, ITEMS, terms(), st.decimals(0, 100, places=2))
def test_a_higher_markup_never_lowers_the_quote(parts, items, terms, more):
    none = Hours(Spread(0, 0, 0, 0, 0), (), (), ())
    dearer = replace(terms, markup_percent=terms.markup_percent + more)
    assert (
        price_quote(parts, none, PriceBook(items), dearer).total
        >= price_quote(parts, none, PriceBook(items), terms).total
    )


@given(hours(), terms())
def test_hours_sold_are_the_chosen_figure_to_the_tenth_shared_over_the_sections(hours, terms):
    lines = price_quote([], hours, PriceBook(), terms).lines
    sold = sum((line.quantity for line in lines if line.unit == "h"), Decimal(0))
    figure = hours.total.p50_h if terms.labour_basis is LabourBasis.P50 else hours.total.p80_h
    assert abs(float(sold) - figure) <= 0.05 + 1e-9
    shares = {line.text.removeprefix("Labour: "): line.quantity for line in lines}
    for name, spread in hours.sections:
        exact = float(sold) * spread.mean_h / hours.total.mean_h
        assert abs(float(shares.get(name, 0)) - exact) < 0.1 + 1e-9


def test_labour_sold_at_p80_is_dearer_than_at_p50():
    hours = Hours(Spread(10, 2, 9.8, 11.5, 13), (("rear", Spread(10, 2, 9.8, 11.5, 13)),), (), ())
    p50, p80 = (price_quote([], hours, PriceBook(), Terms(labour_basis=basis)).net for basis in LabourBasis)
    assert (p50, p80) == (Decimal("735.00"), Decimal("862.50"))


def test_a_class_without_a_rate_bears_no_tax():
    hours = Hours(Spread(1, 0, 1, 1, 1), (("rear", Spread(1, 0, 1, 1, 1)),), (), ())
    quote = price_quote([], hours, PriceBook(), Terms(tax_percent=((LineClass.PARTS, Decimal(20)),)))
    assert quote.tax == 0


def test_a_price_in_another_unit_is_no_price():
    wire = Part(PartKind.WIRE, "14 AWG RD", 3.2, Unit.METRE, ())
    found = price_parts([wire], PriceBook([PriceItem("wire", "*", "piece", Decimal(1))]), Terms())
    assert found.unpriced == ("wire 14 AWG RD (counted in m, priced per piece)",)


def test_the_price_is_the_given_one_else_cost_with_its_own_markup_else_with_the_shops():
    terms = Terms(markup_percent=Decimal(30))
    own = PriceItem("clip", "a", "piece", Decimal(2), Decimal(50), Decimal("9.99"))
    marked = PriceItem("clip", "a", "piece", Decimal(2), Decimal(50))
    plain = PriceItem("clip", "a", "piece", Decimal(2))
    free = PriceItem("clip", "a", "piece", Decimal(2), Decimal(0))
    assert [selling_price(item, terms) for item in (own, marked, plain, free)] == [
        Decimal("9.99"),
        Decimal("3.00"),
        Decimal("2.60"),
        Decimal("2.00"),
    ]


@pytest.mark.parametrize(
    "given",
    [
        {"rate_per_h": Decimal(-1)},
        {"deposit_percent": Decimal(101)},
        {"currency": "euro"},
        {"locale": "tlh_KL"},
        {"locale": ""},
        {"validity_days": 0},
        {"carriage": Decimal("NaN")},
        {"tax_percent": ((LineClass.PARTS, Decimal(-5)),)},
    ],
)
def test_terms_that_make_no_sense_are_refused(given):
    with pytest.raises(PlanError):
        Terms(**given)


def cases(rule, column):
    """Cases of one rule that a quote can have: nothing negative, and one amount in each field."""
    with (REFERENCE / "en16931_rule_cases.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["test_file"] == rule]
    return [row for row in rows if row[column] and "-" not in row[column] and row["BT115_due"] == ""]


def decimals(text):
    return [Decimal(one) for one in text.split(";")]


def quote_of(nets, tax_percent=Decimal(0)):
    """A quote whose lines have these nets: one part of another kind for each."""
    none = Hours(Spread(0, 0, 0, 0, 0), (), (), ())
    kinds = list(PartKind)[: len(nets)]
    items = [PriceItem(str(kind), "*", "piece", net) for kind, net in zip(kinds, nets, strict=True)]
    parts = [Part(kind, "part", 1.0, Unit.PIECE, ()) for kind in kinds]
    terms = Terms(markup_percent=Decimal(0), sundries_percent=Decimal(0), tax_percent=((LineClass.PARTS, tax_percent),))
    return price_quote(parts, none, PriceBook(items), terms)


def is_sound(row):
    return row["expected_outcome"].startswith("success")


@pytest.mark.parametrize("row", cases("BR-CO-10", "line_net_amounts"), ids=lambda row: row["case"])
def test_our_net_is_the_stated_one_where_a_published_case_is_sound_and_not_where_it_breaks_the_rule(row):
    """EN 16931 BR-CO-10 cases: line nets and their stated sum (BR-CO-13 where all charges are lines)."""
    quote = quote_of(decimals(row["line_net_amounts"]))
    assert (quote.net == Decimal(row["BT106_line_total"])) == is_sound(row)


@pytest.mark.parametrize(
    "row",
    [row for row in cases("BR-CO-14", "BT110_vat") if row["vat_groups_taxable@rate_pct=tax"]],
    ids=lambda row: row["case"],
)
def test_our_tax_is_the_stated_one_where_a_published_case_is_sound_and_not_where_it_breaks_the_rule(row):
    """EN 16931 BR-CO-14 cases: taxes of groups and their stated sum. They name no rates: 100 and 50 % are ours."""
    taxes = [Decimal(group.partition("=")[2]) for group in row["vat_groups_taxable@rate_pct=tax"].split(";")]
    nets = [(tax * 100 / rate, rate) for tax, rate in zip(taxes, (Decimal(100), Decimal(50)), strict=False)]
    ours = sum((group.tax for group in tax_groups(nets, "EUR")), Decimal(0))
    assert (ours == Decimal(row["BT110_vat"])) == is_sound(row)


@pytest.mark.parametrize(
    "row", [row for row in cases("BR-CO-15", "BT109_net") if Decimal(row["BT109_net"]) > 0], ids=lambda row: row["case"]
)
def test_our_total_is_the_stated_one_where_a_published_case_is_sound_and_not_where_it_breaks_the_rule(row):
    """EN 16931 BR-CO-15 cases: net, tax and their stated sum; the rate is what makes the stated tax of the net."""
    net, tax = Decimal(row["BT109_net"]), Decimal(row["BT110_vat"])
    quote = quote_of([net], tax * 100 / net)
    assert quote.tax == tax
    assert (quote.total == Decimal(row["BT112_gross"])) == is_sound(row)
