"""The loom page in figures: bundles, weight, and other ways with what they save, to those who may see prices."""

from __future__ import annotations

import pytest
from django.urls import reverse

from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
from circuits.planning.store import create_plan
from tests.circuits.planning.cast import client_of, marsh_plan

pytestmark = pytest.mark.django_db

RUNS = (
    Run("panel", "fan", 1.0, "near exhaust", opening_mm=20.0),
    Run("panel", "sill", 0.6, "cabin"),
    Run("sill", "fan", 0.52, "cabin"),
)
FAN = Circuit("fan", "front", "battery", "panel", "fan", ("fan",), Kind.MOTOR, load_a=20.0, colour="BU")


def loom_of(role: str) -> str:
    row = create_plan(title="two ways", plan=Plan(Vehicle(), (), RUNS, (FAN,)), by="Otto")
    return client_of(role).get(reverse("planning:loom", args=[row.pk])).content.decode()


def test_another_way_is_shown_with_what_it_saves() -> None:
    page = loom_of("office")
    assert "<strong>fan</strong> by panel, sill, fan: 12 cm longer, 80 °C cooler" in page
    assert 'thinner: <span class="figure">saves' in page


def test_savings_are_not_shown_to_those_who_may_not_see_prices() -> None:
    page = loom_of("technician")
    assert "12 cm longer, 80 °C cooler" in page
    assert "saves" not in page


def test_every_run_with_wires_is_shown_with_its_opening_and_grommet() -> None:
    page = loom_of("technician")
    assert page.count("bundle-figures") == 1
    assert "22 mm: open it up" in page
    assert "loom in all" in page


def test_the_loom_of_one_way_has_no_other_to_show() -> None:
    page = client_of("office").get(reverse("planning:loom", args=[marsh_plan().pk])).content.decode()
    assert "Other ways" not in page
