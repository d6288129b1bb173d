"""The supply page: feeds, balance, battery and contacts, in a fixed number of queries; relays with their price."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.drawings.balance import balance_drawing
from circuits.drawings.shapes import Text
from circuits.electrical.duties import Case
from circuits.electrical.sizing import size_plan
from circuits.electrical.supply import Balance, supply
from circuits.plan import Kind
from circuits.planning.store import create_plan
from circuits.planning.supply_page import supply_shown
from circuits.sheets.starters import STARTERS, load_starter
from estimating.added_cost import added_net
from estimating.rules import ShopRules
from tests.circuits.cast import TAIL, marsh_hare
from tests.circuits.planning.cast import client_of, marsh_plan, plan_of, row_of

BRIGHT = replace(TAIL, load_w=60.0)


def bright_plan():
    return create_plan(title="Bright tails", plan=marsh_hare(BRIGHT, alternator_a=35.0), by="owner")


@pytest.mark.django_db
def test_the_page_tells_each_feed_and_each_contact():
    page = client_of("technician").get(reverse("planning:supply", args=[marsh_plan().pk])).content.decode()
    shown = supply_shown(size_plan(marsh_hare()))
    for line in shown.lines:
        assert line.feed.name in page
    for contact in shown.contacts:
        assert contact.device in page
    assert "Isolate the battery" in page
    assert "AC 43.13-1B table 11-4" in page


@pytest.mark.django_db
def test_relays_are_priced_for_the_office_only_on_both_pages():
    row = bright_plan()
    plan = marsh_hare(BRIGHT, alternator_a=35.0)
    relays = supply_shown(size_plan(plan)).relays
    assert relays is not None
    assert relays.circuits == ("tail lamps",)
    extra = added_net(
        size_plan(plan), replace(plan, circuits=tuple(
            replace(one, relay_at="panel") if one.name == "tail lamps" else one for one in plan.circuits
        )), ShopRules(),
    )  # fmt: skip
    assert extra is not None
    assert extra > Decimal(5)
    for address in (
        reverse("planning:supply", args=[row.pk]),
        reverse("planning:circuit", args=[row.pk, row_of(row, "tail lamps").pk]),
    ):
        assert f"{extra}" in client_of("owner").get(address).content.decode()
        technicians = client_of("technician").get(address).content.decode()
        assert "With a relay each for" in technicians
        assert f"{extra}" not in technicians


@pytest.mark.django_db
def test_number_of_queries_does_not_grow_with_the_plan():
    client = client_of("office")
    counts = []
    for count in (3, 30):
        address = reverse("planning:supply", args=[plan_of(count).pk])
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            client.get(address)
        counts.append(len(queries))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_the_picture_keeps_on_its_sheet_and_says_what_it_shows(starter: str):
    balances = supply(size_plan(load_starter(starter))).balances
    drawing = balance_drawing(balances)
    assert all(drawing.box.holds(shape.box, slack=1.0) for shape in drawing.shapes)
    for balance in balances:
        assert f"{balance.case.value}: loads take" in drawing.description
    words = [shape for shape in drawing.shapes if isinstance(shape, Text)]
    assert not [(a.text, b.text) for n, a in enumerate(words) for b in words[:n] if a.box.overlaps(b.box, slack=1.0)]


@pytest.mark.parametrize("output_a", [None, 0.5, 30.0, 500.0])
def test_the_picture_bears_any_alternator_and_no_load(output_a: float | None):
    for by_kind in ({}, {Kind.LAMP: 0.001}, {Kind.MOTOR: 200.0, Kind.COIL: 0.1}):
        drawing = balance_drawing([Balance(Case.IDLE_DAY, output_a, sum(by_kind.values()), by_kind)])
        assert all(drawing.box.holds(shape.box, slack=1.0) for shape in drawing.shapes)
