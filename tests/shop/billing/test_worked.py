"""Invoices by hours and parts: each hour and part once, whatever was booked or put right since."""

from __future__ import annotations

from decimal import Decimal
from uuid import uuid4

import pytest

from estimating.pricing.price import price_materials
from estimating.quotes.models import PriceRow
from estimating.quotes.rules import RefusedError
from estimating.quotes.settings_services import start_price_book
from estimating.quotes.store import shop_rules, work_up_plan
from estimating.stock.services import Act, material_named, scrap, take_in
from estimating.stock.services import issue as issue_stock
from estimating.takeoff.parts import Part, PartKind, Unit
from shop.billing.document_record import read_document
from shop.billing.models import Document
from shop.billing.orders import Order, What
from shop.billing.seams import BookedHours, booked_hours
from shop.billing.services import issue_invoice
from shop.materials.used import used_parts
from tests.estimating.quotes.cast import HEADLAMP
from tests.shop.billing import cast
from tests.shop.billing.cast import D, credit, issue, plan_becomes

HOURS: dict[str, str] = {}


def hours_of(job_id: int) -> tuple[BookedHours, ...]:
    """Stands in for the workshop floor."""
    return tuple(BookedHours(section, Decimal(hours)) for section, hours in HOURS.items())


@pytest.fixture(autouse=True)
def booked(settings):
    settings.LOOMWRIGHT_BOOKED_HOURS = f"{__name__}.hours_of"
    HOURS.clear()
    return HOURS


def worked(job, *, what=What.WORK, with_parts=False):
    order = Order(what, with_parts=with_parts)
    row = issue_invoice(job=job, order=order, by="Otto", at=cast.NOON, key=uuid4())
    return row, read_document(row.content)


def hours_in(record):
    return {line.text: line.quantity for line in record.lines if line.unit == "h"}


def test_hours_are_charged_at_the_rate_of_the_terms(unquoted, booked):
    booked.update(rear="2.5", front="1")
    _, record = worked(unquoted)
    assert hours_in(record) == {"Labour: rear": D("2.5"), "Labour: front": D("1.0")}
    assert record.totals.net == D("262.50")


def test_an_hour_is_invoiced_once(unquoted, booked):
    booked["rear"] = "2.5"
    worked(unquoted)
    booked["rear"] = "4.0"
    _, record = worked(unquoted)
    assert hours_in(record) == {"Labour: rear": D("1.5")}
    with pytest.raises(RefusedError, match="Nothing is left"):
        worked(unquoted)


def test_hours_put_right_since_are_given_back(unquoted, booked):
    booked["rear"] = "2.5"
    worked(unquoted)
    booked["rear"] = "2.0"
    _, record = worked(unquoted)
    assert hours_in(record) == {"Labour: rear": D("-0.5")}
    assert record.totals.payable == D("-45.00")


def test_hours_of_an_invoice_that_was_credited_are_free_again(unquoted, booked):
    booked["rear"] = "2.0"
    row, record = worked(unquoted)
    credit(row, {group.tax_percent: group.taxable for group in record.totals.taxes})
    _, again = worked(unquoted)
    assert hours_in(again) == {"Labour: rear": D("2.0")}


def test_parts_of_the_plan_are_charged_as_quoted_and_once(unquoted):
    _, record = worked(unquoted, with_parts=True)
    quoted = [line for line in work_up_plan(unquoted.plan_id).quote.lines if line.line_class != "labour"]
    assert [(line.text, line.net) for line in record.lines] == [(line.text, line.net) for line in quoted]
    with pytest.raises(RefusedError, match="Nothing is left"):
        worked(unquoted, with_parts=True)


def test_parts_taken_out_of_the_plan_since_are_given_back(unquoted):
    _, before = worked(unquoted, with_parts=True)
    plan_becomes(unquoted, HEADLAMP)
    _, record = worked(unquoted, with_parts=True)
    assert record.totals.net < 0
    left = [line for line in work_up_plan(unquoted.plan_id).quote.lines if line.line_class != "labour"]
    assert before.totals.net + record.totals.net == sum(line.net for line in left)


def stocked(kind: str, spec: str, amount: int, insulation_c: int = 0):
    """So much of a material, lying in stock."""
    material = material_named(kind, spec, insulation_c)
    return take_in(material=material, amount=amount, act=Act("Otto", cast.NOON, note="opening stock"))


def test_parts_used_are_those_given_out_less_returns_at_the_prices_of_a_quote(unquoted):
    act = Act("Otto", cast.NOON, job=unquoted.number)
    clips, roll = stocked("clip", "10 mm", 40), stocked("wire", "14 AWG RD", 20_000, 125)
    issue_stock(holding=clips, amount=12, act=act)
    issue_stock(holding=roll, amount=2_500, act=act, blade_mm=2)
    take_in(material=clips.material, amount=4, act=act)
    _, record = worked(unquoted, with_parts=True)
    used = [Part(PartKind.CLIP, "10 mm", 8, Unit.PIECE, ()), Part(PartKind.WIRE, "14 AWG RD", 2.5, Unit.METRE, ())]
    rules = shop_rules()
    wanted = price_materials(used, rules.book, rules.terms).lines
    assert [(line.text, line.net) for line in record.lines] == [(line.text, line.net) for line in wanted]
    issue_stock(holding=clips, amount=2, act=act)
    _, more = worked(unquoted, with_parts=True)
    used = [Part(PartKind.CLIP, "10 mm", 10, Unit.PIECE, ()), used[1]]
    both = sum(line.net for line in price_materials(used, rules.book, rules.terms).lines)
    assert record.totals.net + more.totals.net == both


def test_what_is_scrapped_or_goes_to_another_job_is_not_charged(unquoted):
    clips = stocked("clip", "10 mm", 40)
    issue_stock(holding=clips, amount=3, act=Act("Otto", cast.NOON, job="J-other"))
    scrap(holding=clips, amount=3, act=Act("Otto", cast.NOON, note="bent"))
    assert used_parts(unquoted.number) is None
    assert [part.quantity for part in used_parts("J-other") or ()] == [3]


def test_a_part_used_without_a_price_stands_in_the_way_by_name(unquoted):
    start_price_book()
    PriceRow.objects.filter(kind="clip").delete()
    issue_stock(holding=stocked("clip", "10 mm", 5), amount=5, act=Act("Otto", cast.NOON, job=unquoted.number))
    with pytest.raises(RefusedError, match="without a price: clip 10 mm"):
        worked(unquoted, with_parts=True)


def test_the_last_invoice_credits_a_deposit_that_was_agreed(job, booked):
    deposit = read_document(issue(job, What.DEPOSIT).content).totals.payable
    booked["rear"] = "100"
    row, record = worked(job, what=What.WORK_REST)
    assert row.kind == "final"
    assert record.totals.payable == D("9000.00") - deposit


def test_an_agreed_price_counts_hours_invoiced_before(job, booked):
    booked["rear"] = "2"
    worked(job)
    rest = read_document(issue(job, What.REST).content)
    claimed = sum((read_document(row.content).totals.payable for row in Document.objects.all()), D(0))
    from shop.billing.drafting import books_of

    agreement = books_of(job).agreement
    assert agreement is not None
    assert claimed == agreement.total
    assert rest.lines[-1].text.startswith("Less progress invoice")


def test_without_a_floor_no_hours_are_known(settings):
    settings.LOOMWRIGHT_BOOKED_HOURS = ""
    assert booked_hours(1) == ()
