"""Whatever plan a shop stores, its pages can be looked at, and its grid reads back what it was given."""

from __future__ import annotations

from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis.extra.django import TestCase

from circuits.plan import Plan
from circuits.planning.edits import EditFault
from circuits.planning.grid import read_cells
from circuits.planning.listing import LISTINGS
from circuits.planning.store import create_plan
from tests.circuits.planning.cast import client_of
from tests.circuits.strategies import plans

SOME = settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])


class AnyPlan(TestCase):
    @SOME
    @given(plan=plans())
    def test_pages_of_any_plan_can_be_looked_at(self, plan: Plan) -> None:
        row = create_plan(title="any", plan=plan, by="owner")
        client = client_of("owner")
        addresses = [reverse(f"planning:{name}", args=[row.pk]) for name in ("plan", "loom", "sheet")]
        first = row.circuits.first()
        if first is not None:
            addresses.append(reverse("planning:circuit", args=[row.pk, first.pk]))
        for address in addresses:
            assert client.get(address).status_code == 200, address


@SOME
@given(plan=plans())
def test_grid_reads_back_the_texts_it_was_given(plan: Plan) -> None:
    for name, listing in LISTINGS.items():
        for value in getattr(plan, name):
            faults: list[EditFault] = []
            names = [column.name for column in listing.columns]
            cells = dict(zip(names, listing.texts_of(value), strict=True))
            assert read_cells(listing, "k", cells, faults) == value
            assert faults == []
