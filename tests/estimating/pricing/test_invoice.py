"""Sums of a document against the published artefacts of EN 16931: rules BR-CO-10 to BR-CO-17 and BR-S-08.

Source: ConnectingEurope/eInvoicing-EN16931 (2026-04-14), its example documents and rule cases, read into
``tests/reference/en16931_*.csv``. Where the published check of tax takes anything less than one unit off, ours is the
rounded amount itself.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimating.pricing.invoice import InvoiceLine, line_of, lot, nets_by_rate, totals_of
from estimating.pricing.money import rounded

REFERENCE = Path(__file__).parents[2] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


TAXES = rows("en16931_example_vat.csv")
"""A group without a rate (outside the scope of tax) bears none."""

TAXED = "vat_groups_taxable@rate_pct=tax"
TOTALS = rows("en16931_example_totals.csv")
CASES = rows("en16931_rule_cases.csv")


def cases(rule: str) -> list[dict[str, str]]:
    """Cases of a rule with a single outcome; those whose figures are all given in one currency."""
    return [row for row in CASES if row["test_file"] == rule and row["expected_outcome"].split()[-1] == rule]


def is_right(row: dict[str, str]) -> bool:
    return row["expected_outcome"].startswith("success")


def name(row: dict[str, str]) -> str:
    return f"{row['test_file']} {row['case']} {row['expected_outcome'].split()[0]}"


def number(text: str) -> Decimal:
    return Decimal(text or 0)


def flat(net: Decimal, rate: Decimal = Decimal(0)) -> InvoiceLine:
    return lot("x", net, rate, "EUR")


@pytest.mark.parametrize("row", TOTALS, ids=lambda row: Path(row["file"]).stem)
def test_every_sum_of_a_published_example_to_the_cent(row):
    groups = [one for one in TAXES if one["file"] == row["file"]]
    lines = [flat(Decimal(one["BT116_taxable"]), number(one["BT119_rate_pct"])) for one in groups]
    totals = totals_of(
        lines, row["currency"], prepaid=number(row["BT113_paid"]), rounding=number(row["BT114_rounding"])
    )
    stated = [row["BT109_net"], row["BT110_vat"], row["BT112_gross"], row["BT115_due"]]
    assert [totals.net, totals.tax, totals.total, totals.due] == [number(text) for text in stated]
    for group in totals.taxes:
        # Two groups of one rate (zero-rated and exempt, both 0 %) are one of ours.
        same = [one for one in groups if number(one["BT119_rate_pct"]) == group.tax_percent]
        assert group.tax == sum(Decimal(one["BT117_tax_stated"]) for one in same)


@pytest.mark.parametrize("row", cases("BR-CO-10"), ids=name)
def test_line_total_is_the_sum_of_the_lines(row):
    lines = [flat(Decimal(net)) for net in row["line_net_amounts"].split(";")]
    ours = totals_of(lines, "EUR").line_total
    assert (ours == rounded(number(row["BT106_line_total"]), "EUR")) is is_right(row)


@pytest.mark.parametrize("row", cases("BR-CO-13"), ids=name)
def test_net_takes_off_allowances_and_adds_charges_which_are_lines_here(row):
    lines = [
        flat(number(row["BT106_line_total"])),
        flat(-number(row["BT107_allowances"])),
        flat(number(row["BT108_charges"])),
    ]
    assert (totals_of(lines, "EUR").net == number(row["BT109_net"])) is is_right(row)


@pytest.mark.parametrize(
    ("rule", "sign", "sum_of"), [("BR-CO-11", "-", "BT107_allowances"), ("BR-CO-12", "+", "BT108_charges")]
)
def test_allowances_and_charges_on_the_whole_document_are_lines_of_their_own_and_sum_as_published(rule, sign, sum_of):
    """A document of ours has no sum beside its lines that could differ from them."""
    for row in cases(rule):
        given = [text for text in row["document_charges_plus_allowances_minus"].split(";") if text[0] == sign]
        totals = totals_of([flat(Decimal(text)) for text in given], "EUR")
        stated = number(row[sum_of])
        assert (totals.line_total == totals.net == (stated if sign == "+" else -stated)) is is_right(row), name(row)


@pytest.mark.parametrize("row", cases("BR-CO-14"), ids=name)
def test_tax_is_the_sum_of_the_tax_of_each_rate(row):
    """The cases name no rates: a rate of its own for each group, whatever it comes to."""
    given = [Decimal(group.rpartition("=")[2]) for group in row[TAXED].split(";")]
    lines = [flat(tax / place, Decimal(100 * place)) for place, tax in enumerate(given, start=1)]
    assert (totals_of(lines, "EUR").tax == number(row["BT110_vat"])) is is_right(row)


@pytest.mark.parametrize(
    "row", [row for row in cases("BR-CO-15") if number(row["BT109_net"]) and ";" not in row["BT110_vat"]], ids=name
)
def test_total_is_net_and_tax(row):
    net, tax = number(row["BT109_net"]), number(row["BT110_vat"])
    totals = totals_of([flat(net, tax * 100 / net)], "EUR")
    assert totals.tax == tax
    assert (totals.total == number(row["BT112_gross"])) is is_right(row)


@pytest.mark.parametrize("row", [row for row in cases("BR-CO-16") if row["BT112_gross"]], ids=name)
def test_due_is_total_less_prepaid_and_with_the_rounding_amount(row):
    totals = totals_of(
        [flat(number(row["BT112_gross"]))],
        "EUR",
        prepaid=number(row["BT113_paid"]),
        rounding=number(row["BT114_rounding"]),
    )
    assert (totals.due == number(row["BT115_due"])) is is_right(row)


def groups_of(row: dict[str, str]) -> list[tuple[Decimal, Decimal, str]]:
    """``taxable@rate=tax`` parted by semicolons."""
    found = []
    for group in row[TAXED].split(";"):
        taxable, _, rest = group.partition("@")
        percent, _, tax = rest.partition("=")
        found.append((Decimal(taxable), Decimal(percent or 0), tax))
    return found


@pytest.mark.parametrize("row", [row for row in cases("BR-CO-17") if is_right(row)], ids=name)
def test_tax_of_a_rate_is_the_rounded_share_of_its_sum(row):
    for taxable, percent, tax in groups_of(row):
        (group,) = totals_of([flat(taxable, percent)], "EUR").taxes
        assert group.tax == rounded(taxable * percent / 100, "EUR")
        assert abs(abs(group.tax) - abs(Decimal(tax))) < 1, "the published check takes less than one unit"


@pytest.mark.parametrize("row", [row for row in cases("BR-CO-17") if not is_right(row)], ids=name)
def test_tax_that_the_published_check_refuses_is_never_ours(row):
    ours = [totals_of([flat(taxable, percent)], "EUR").taxes[0].tax for taxable, percent, _ in groups_of(row)]
    assert ours != [Decimal(tax) for _, _, tax in groups_of(row)]


def test_the_rules_have_cases():
    for rule in (f"BR-CO-{number}" for number in range(10, 18)):
        found = cases(rule)
        assert {is_right(row) for row in found} == {True, False}, rule


MONEY = st.decimals(-(10**6), 10**6, places=2)
LINES = st.lists(st.tuples(MONEY, st.sampled_from([Decimal(0), Decimal("5.5"), Decimal(20)])), max_size=12)


@given(LINES, MONEY)
def test_every_rule_holds_for_any_lines(pairs, prepaid):
    lines = [flat(net, rate) for net, rate in pairs]
    totals = totals_of(lines, "EUR", prepaid=prepaid)
    assert totals.line_total == totals.net == sum((line.net for line in lines), Decimal(0))
    assert {group.tax_percent: group.taxable for group in totals.taxes} == nets_by_rate(lines)
    assert totals.tax == sum((group.tax for group in totals.taxes), Decimal(0))
    assert totals.total == totals.net + totals.tax
    assert totals.due == totals.total - prepaid


@given(LINES, st.randoms(use_true_random=False))
def test_the_order_of_lines_changes_no_sum(pairs, random):
    lines = [flat(net, rate) for net, rate in pairs]
    mixed = random.sample(lines, len(lines))
    assert totals_of(mixed, "EUR") == totals_of(lines, "EUR")


@given(LINES)
def test_a_credit_of_all_lines_is_the_very_opposite(pairs):
    charged = totals_of([flat(net, rate) for net, rate in pairs], "EUR")
    credited = totals_of([flat(-net, rate) for net, rate in pairs], "EUR")
    assert [credited.net, credited.tax, credited.due] == [-charged.net, -charged.tax, -charged.due]


@given(st.decimals(0, 10**4, places=2), st.decimals(0, 10**4, places=6))
def test_net_of_a_line_is_its_quantity_times_its_price_rounded_once(quantity, price):
    line = line_of("x", quantity, "m", price, Decimal(20), "EUR")
    assert line.net == rounded(line.quantity * line.unit_price, "EUR")
