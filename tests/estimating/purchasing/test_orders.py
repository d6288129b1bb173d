"""An order: numbered, per supplier, never changed once sent; what is reserved from it follows what becomes of it."""

from __future__ import annotations

import io
from decimal import Decimal

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.models import ProtectedError
from django.urls import reverse
from pypdf import PdfReader

from estimating.buying.week import PriceBreak
from estimating.purchasing.models import OrderRow, ReservationRow, SupplierRow
from estimating.purchasing.orders import close_order, withdraw_order, write_note
from estimating.purchasing.placing import place_orders
from estimating.purchasing.redraft import send_order
from estimating.quotes.rules import RefusedError
from estimating.stock.services import keep, material_named
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def drafts(job, market):
    return place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)


def test_money_of_an_order_is_the_sum_of_its_lines(drafts):
    for order in drafts:
        lines = order.lines.all()
        assert order.goods == sum(line.net for line in lines) > 0
        assert all(line.net == line.packs * line.price for line in lines)
        assert order.total == order.goods + order.carriage


def test_numbers_are_consecutive_within_the_year(drafts):
    assert [order.number for order in drafts] == ["PO-2026-001", "PO-2026-002"]


def test_words_to_the_supplier_until_it_is_sent(drafts):
    write_note(order=drafts[0], note=" Ring the bell. ")
    send_order(order=drafts[0], by="Ada", at=cast.NOON)
    with pytest.raises(RefusedError, match="only one that is draft can be changed"):
        write_note(order=drafts[0], note="x")
    drafts[0].refresh_from_db()
    assert drafts[0].note == "Ring the bell."


@pytest.mark.parametrize(
    "change",
    ["goods = 1", "carriage = 1", "number = 'X'", "addressee = 'x'", "note = 'x'", "sent_by = 'x'", "state = 'draft'"],
)
def test_the_database_refuses_to_change_a_sent_order(orders, change):
    sql = f"UPDATE purchasing_orderrow SET {change} WHERE id = {orders[0].pk}"
    with pytest.raises(DatabaseError, match="sent order cannot be changed"), transaction.atomic():
        connection.cursor().execute(sql)


@pytest.mark.parametrize("change", ["packs = 99", "price = 0", "net = 0", "part_number = 'x'"])
def test_the_database_refuses_to_change_a_line_of_a_sent_order(orders, change):
    with pytest.raises(DatabaseError, match="sent order cannot be changed"), transaction.atomic():
        connection.cursor().execute(f"UPDATE purchasing_orderlinerow SET {change}")


def test_a_closed_order_stays_closed(orders):
    close_order(order=orders[0])
    with pytest.raises(DatabaseError, match="sent order cannot be changed"), transaction.atomic():
        OrderRow.objects.filter(pk=orders[0].pk).update(state="sent")


def test_the_database_wants_a_sent_order_signed(drafts):
    with pytest.raises(IntegrityError), transaction.atomic():
        OrderRow.objects.filter(pk=drafts[0].pk).update(state="sent")


def test_an_order_keeps_what_it_was_made_of(orders, market):
    north, _ = market
    line = orders[0].lines.first()
    price = line.price
    north.offers.all().delete()
    SupplierRow.objects.filter(pk=north.pk).update(name="North & Sons", address="elsewhere")
    line.refresh_from_db()
    orders[0].refresh_from_db()
    assert line.price == price
    assert orders[0].addressee == "North"
    with pytest.raises(ProtectedError):
        north.delete()


@pytest.mark.parametrize(("act", "state"), [(send_order, "draft"), (withdraw_order, "draft"), (close_order, "sent")])
def test_acts_are_refused_in_other_states(orders, act, state):
    order = orders[0]
    close_order(order=order)
    options = {"by": "Ada", "at": cast.NOON} if act is send_order else {}
    with pytest.raises(RefusedError, match=f"only one that is {state} can be"):
        act(order=order, **options)


def test_a_draft_that_is_withdrawn_leaves_its_needs_missing_and_they_are_planned_again(job, drafts):
    mine = ReservationRow.objects.filter(order_line__order=drafts[0])
    count = mine.count()
    assert count
    withdraw_order(order=drafts[0])
    assert ReservationRow.objects.filter(order_line=None, holding=None).count() == count
    again = place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)
    assert [order.supplier for order in again] == [drafts[0].supplier]


def test_price_breaks_carriage_and_least_order_are_those_of_the_supplier(job):
    dear = cast.supplier("Dear", carriage=Decimal("7.50"), min_order=Decimal(20), carriage_free_from=Decimal(1000))
    cast.sell_everything((job,), dear)
    tie = material_named("clip", "99 mm")
    keep(material=tie, bin_name="", low_level=60)
    cast.offer(dear, tie, "2.00", 10, breaks=(PriceBreak(5, Decimal("1.50")),))
    (order,) = place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)
    assert order.carriage == Decimal("7.50")
    assert tie.order_lines.get().price == Decimal("1.50"), "six packs are beyond the break"


def test_the_paper_names_number_supplier_lines_and_total(office, orders):
    order = orders[1]
    write = office.get(reverse("purchasing:order_paper", args=[order.pk]))
    assert write["Content-Type"] == "application/pdf"
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(write.content)).pages)
    assert order.number in text
    assert "South" in text
    assert order.lines.first().material.key.split(",")[0] in " ".join(text.split())
    assert f"{order.total:,.2f}" in text


def test_the_csv_has_every_line(office, orders):
    text = office.get(reverse("purchasing:order_csv", args=[orders[0].pk])).content.decode("utf-8-sig")
    assert len(text.strip().splitlines()) == 1 + orders[0].lines.count()
