"""Invoices by hours and parts: each hour and part once, whatever was booked or put right since."""

from __future__ import annotations

from decimal import Decimal
from uuid import uuid4

import pytest

from estimating.quotes.rules import RefusedError
from estimating.quotes.store import work_up_plan
from shop.billing.document_record import read_document
from shop.billing.models import Document
from shop.billing.orders import Order, What
from shop.billing.seams import BookedHours, booked_hours
from shop.billing.services import issue_invoice
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
