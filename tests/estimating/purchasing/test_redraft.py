"""Drafts with other quantities than planned: what they cost, whom they fail, and that sent orders stay as they are."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from estimating.buying.week import PriceBreak
from estimating.purchasing.models import OrderLineRow, OrderRow, ReservationRow
from estimating.purchasing.placing import place_orders
from estimating.purchasing.redraft import change_packs, redraft, send_order
from estimating.quotes.rules import RefusedError
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db

NORTH = {"min_order": 20, "carriage": 9, "carriage_free_from": 200}


@pytest.fixture
def draft():
    """One order for two jobs, in draft."""
    jobs = (cast.job("J-1"), cast.job("J-2", starts_on=cast.START + timedelta(days=1)))
    seller = cast.supplier("North", **NORTH)
    cast.sell_everything(jobs, seller)
    for offer in seller.offers.filter(pack__gt=1):
        offer.breaks.create(from_packs=10, price="2.50")
    (order,) = place_orders(run=cast.planned(*jobs), by="Ada", at=cast.NOON)
    return order


def a_roll(order: OrderRow) -> OrderLineRow:
    """A line of rolls."""
    line = order.lines.filter(length_mm__isnull=False, material__kind="wire").first()
    assert line is not None
    return line


def a_pack(order: OrderRow) -> OrderLineRow:
    """A line of counted parts that both jobs wait for."""
    for line in order.lines.filter(length_mm=None):
        if line.reserved.values("job").distinct().count() == 2:
            return line
    raise AssertionError


def test_more_packs_cost_what_the_offer_says_and_spare_the_carriage(draft):
    line = a_pack(draft)
    change_packs(order=draft, packs={line.pk: 100}, at=cast.NOON)
    line.refresh_from_db()
    assert (line.packs, line.price, line.net) == (100, Decimal("2.50"), 250)
    draft.refresh_from_db()
    assert draft.goods == sum(each.net for each in draft.lines.all())
    assert draft.carriage == 0, "free from 200"


def test_fewer_packs_fail_the_latest_job_first_and_its_parts_are_missing_then(draft):
    line = a_pack(draft)
    wanted = sum(line.reserved.values_list("amount", flat=True))
    line.packs = 1
    drawn = redraft(draft, {line.pk: 1}, cast.TODAY)
    here = [fails for fails in drawn.failed if fails.what == line.material.key]
    assert sum(fails.amount for fails in here) == max(0, wanted - line.pack)
    change_packs(order=draft, packs={line.pk: 0}, at=cast.NOON)
    assert not OrderLineRow.objects.filter(pk=line.pk).exists()
    lost = ReservationRow.objects.filter(kind=line.material.key, order_line=None, holding=None)
    assert sum(row.amount for row in lost) == wanted
    assert {row.job for row in lost} == {"J-1", "J-2"}


def test_half_of_what_waits_is_split_between_what_comes_and_what_is_missing(draft):
    line = a_pack(draft)
    OrderLineRow.objects.filter(pk=line.pk).update(pack=1)
    first, second = line.reserved.order_by("needed_by", "pk")[:2]
    total = first.amount + second.amount
    drawn = change_packs(order=draft, packs={line.pk: first.amount}, at=cast.NOON)
    assert {fails.job for fails in drawn.failed} == {second.job}
    rows = ReservationRow.objects.filter(kind=line.material.key)
    assert sum(row.amount for row in rows) == total
    assert sum(row.amount for row in rows if row.order_line_id == line.pk) == first.amount


def test_a_roll_less_leaves_the_cuts_of_that_roll_without(draft):
    line = a_roll(draft)
    cuts = set(line.reserved.filter(roll=line.packs).values_list("job", "cut"))
    assert cuts
    drawn = redraft(draft, {line.pk: line.packs - 1}, cast.TODAY)
    assert {(fails.job, fails.what.rpartition(", ")[2]) for fails in drawn.failed} == cuts


def test_what_is_not_sold_or_too_small_an_order_is_refused(draft):
    line = a_pack(draft)
    line.offered["multiple"] = 5
    line.save()
    with pytest.raises(RefusedError, match="multiples of 5, got 7"):
        change_packs(order=draft, packs={line.pk: 7}, at=cast.NOON)
    nothing = dict.fromkeys(draft.lines.values_list("pk", flat=True), 0)
    with pytest.raises(RefusedError, match="withdraw it instead"):
        change_packs(order=draft, packs=nothing, at=cast.NOON)
    with pytest.raises(RefusedError, match="takes no order below 20"):
        change_packs(order=draft, packs=nothing | {line.pk: 5}, at=cast.NOON)


def test_a_sent_order_keeps_its_quantities(draft):
    send_order(order=draft, by="Ada", at=cast.NOON)
    line = a_pack(draft)
    with pytest.raises(RefusedError, match="is sent"):
        change_packs(order=draft, packs={line.pk: 9}, at=cast.NOON)


def test_sent_later_it_comes_later_and_says_whom_that_fails(draft):
    late = cast.NOON + timedelta(days=9)
    assert redraft(draft, {}, cast.TODAY).failed == ()
    failed = redraft(draft, {}, late.date()).failed
    assert {fails.job for fails in failed} == {"J-1", "J-2"}
    assert all(fails.comes_on and fails.needed_by and fails.comes_on > fails.needed_by for fails in failed)
    send_order(order=draft, by="Ada", at=late)
    assert {line.arrives for line in draft.lines.all()} == {failed[0].comes_on}


def test_the_page_asks_before_it_leaves_a_job_without(office, draft):
    line = a_roll(draft)
    before = line.packs
    typed = {f"packs-{row.pk}": row.packs for row in draft.lines.all()} | {f"packs-{line.pk}": 0}
    address = reverse("purchasing:order_packs", args=[draft.pk])
    asked = office.post(address, typed).content.decode()
    assert "This leaves jobs without" in asked
    assert "comes from nowhere then" in asked
    line.refresh_from_db()
    assert line.packs == before
    assert office.post(address, typed | {"sure": "1"}).status_code == 302
    assert not OrderLineRow.objects.filter(pk=line.pk).exists()
    wrong = office.post(address, typed | {f"packs-{a_pack(draft).pk}": "-1"})
    assert wrong.status_code == 400


def test_a_price_break_is_kept_with_the_order(draft):
    line = a_pack(draft)
    assert [PriceBreak(one["from_packs"], Decimal(one["price"])) for one in line.offered["breaks"]] == [
        PriceBreak(1, Decimal("3.00")),
        PriceBreak(10, Decimal("2.50")),
    ]
