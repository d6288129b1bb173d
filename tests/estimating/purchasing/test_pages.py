"""Forms of suppliers, offers and buying: stored, refused with words; pages cost the same at any length."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from estimating.purchasing.models import BuyingRow, OfferRow, OrderRow, SupplierRow
from estimating.purchasing.running import start_run
from estimating.stock.services import material_named
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db

OFFER = {
    "kind": "wire", "spec": "14 AWG RD", "insulation_c": "125", "roll": "25 m", "pack": "1", "multiple": "1",
    "lead_days": "2", "prices": "1: 12.50, 5: 11.00", "is_used": "on", "part_number": "W14",
}  # fmt: skip
TERMS = {"name": "North", "min_order": "20", "carriage": "7.50", "is_used": "on"}


@pytest.fixture
def north(db):
    return cast.supplier("North")


def sent(client, north, **changes):
    return client.post(reverse("purchasing:new_offer", args=[north.pk]), {**OFFER, **changes})


def test_a_supplier_is_stored(office):
    answer = office.post(reverse("purchasing:new_supplier"), {**TERMS, "carriage_free_from": "150"})
    assert answer.status_code == 302
    assert SupplierRow.objects.get().carriage_free_from == 150


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("name", "", "required"),
        ("carriage", "-1", "greater than or equal to 0"),
        ("min_order", "1.005", "smallest coin"),
    ],
)
def test_terms_that_make_no_sense_are_told(office, field, value, words):
    answer = office.post(reverse("purchasing:new_supplier"), {**TERMS, field: value})
    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert not SupplierRow.objects.exists()


def test_an_offer_is_stored_with_breaks_and_its_material(office, north):
    assert sent(office, north).status_code == 302
    offer = OfferRow.objects.get()
    assert offer.material == material_named("wire", "14 AWG RD", 125)
    assert offer.length_mm == 25_000
    assert list(offer.breaks.values_list("from_packs", "price")) == [(1, Decimal("12.5")), (5, Decimal(11))]


def test_an_offer_is_changed_and_taken_out(office, north):
    sent(office, north)
    offer = OfferRow.objects.get()
    address = reverse("purchasing:offer", args=[offer.pk])
    page = office.get(address).content.decode()
    assert "1: 12.50, 5: 11.00" in page
    assert office.post(address, {**OFFER, "prices": "9"}).status_code == 302
    assert list(offer.breaks.values_list("from_packs", "price")) == [(1, Decimal(9))]
    office.post(reverse("purchasing:delete_offer", args=[offer.pk]))
    assert not OfferRow.objects.exists()


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("prices", "", "required"),
        ("prices", "cheap", "a price such as"),
        ("prices", "1: 5, 10: 6", "rise in quantity and not in price"),
        ("prices", "-1", "price from 1 must be"),
        ("prices", "1.005", "smallest coin"),
        ("prices", "NaN", "smallest coin"),
        ("prices", "0: 5", "quantity of a price break"),
        ("roll", "", "length of the roll"),
        ("roll", "far", "far"),
        ("spec", "red wire", "no wire size"),
        ("spec", "14", "size and colour"),
        ("insulation_c", "", "class of the wire"),
        ("multiple", "0", "greater than or equal to 1"),
        ("lead_days", "9999", "less than or equal to 1000"),
    ],
)
def test_offers_that_make_no_sense_are_told_and_not_stored(office, north, field, value, words):
    answer = sent(office, north, **{field: value})
    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert not OfferRow.objects.exists()


def test_a_pack_of_nothing_is_refused(office, north):
    answer = sent(office, north, kind="fuse", spec="blade 15 A", pack="0")
    assert answer.status_code == 400
    assert not OfferRow.objects.exists()


def test_counted_parts_are_sold_by_the_pack_without_a_length(office, north):
    assert sent(office, north, kind="fuse", spec="blade 15 A", pack="50").status_code == 302
    offer = OfferRow.objects.get()
    assert (offer.length_mm, offer.pack, offer.material.insulation_c) == (None, 50, 0)


RULES = {
    "horizon_days": "14", "days_before_start": "1", "time_limit_s": "20", "blade_loss_mm": "2", "min_offcut_mm": "500",
    "max_area_ratio": "1.7", "colours": "GN > GN/WH", "pairs": "", "workdays": "12345", "holidays": "2026-12-25",
}  # fmt: skip


def test_rules_of_buying_are_stored(owner):
    assert owner.post(reverse("purchasing:rules"), RULES).status_code == 302
    assert BuyingRow.objects.get().colours == "GN > GN/WH"


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("colours", "GN", "wanted &gt; used instead"),
        ("pairs", "> x", "wanted &gt; used instead"),
        ("holidays", "Christmas", "Christmas"),
        ("workdays", "", "required"),
        ("workdays", "789", "workdays must be"),
        ("horizon_days", "0", "greater than or equal to 1"),
        ("blade_loss_mm", "500", "less than or equal to 100"),
    ],
)
def test_rules_that_make_no_sense_are_told_and_not_stored(owner, field, value, words):
    answer = owner.post(reverse("purchasing:rules"), {**RULES, field: value})
    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert not BuyingRow.objects.exists()


def counted(client, address):
    with CaptureQueriesContext(connection) as captured:
        assert client.get(address).status_code == 200
    return len(captured)


def test_queries_do_not_grow_with_rows(office, north):
    wire = material_named("wire", "14 AWG RD", 125)
    run = start_run(jobs=(), today=cast.TODAY, by="Ada", at=timezone.now())
    addresses = [
        reverse("purchasing:orders"),
        reverse("purchasing:suppliers"),
        reverse("purchasing:supplier", args=[north.pk]),
        reverse("purchasing:run", args=[run.pk]),
    ]
    queries = []
    for first in (0, 60):
        for n in range(first, first + 1 + first):
            order = OrderRow.objects.create(
                number=f"PO-{n}", supplier=north, currency="EUR", goods=1, carriage=0, made_at=cast.NOON, made_by="Ada"
            )
            line = {"material": wire, "packs": 1, "price": 1, "net": 1, "arrives": cast.TODAY}
            order.lines.create(**line)
            cast.supplier(f"Supplier {n}")
            cast.offer(north, wire, "5.00", 10)
        queries.append([counted(office, address) for address in addresses])
    assert queries[0] == queries[1]
    assert max(queries[0]) <= 9


def test_queries_of_an_order_do_not_grow_with_its_lines(office, orders):
    order = orders[0]
    address = reverse("purchasing:order", args=[order.pk])
    assert order.lines.count() > 5
    assert counted(office, address) <= 9
    assert counted(office, reverse("purchasing:receive", args=[order.pk])) <= 8
