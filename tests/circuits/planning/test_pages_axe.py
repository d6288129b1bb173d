"""The plan's pages by axe in a real browser, in light and dark, at the desk and on a phone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from circuits.planning.changes import save_rows
from circuits.planning.edits import Edit
from circuits.planning.listing import CIRCUITS
from circuits.sheets import load_starter
from tests.circuits.planning.cast import row_of
from tests.circuits.planning.hands import Hands, stored_plan

pytestmark = pytest.mark.django_db(transaction=True)

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
SIZES = {"desk": {"width": 1440, "height": 900}, "phone": {"width": 390, "height": 844}}

BENCH = "?load=55+W&length=3&old-kind=length-graded+glass&old-rating=14&lamp-name=P21W"


def violations(page: Any) -> list[str]:
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{v['id']}: {v['nodes'][0]['html'][:160]} | {v['nodes'][0]['failureSummary'][:300]}" for v in found]


@pytest.mark.parametrize(("size", "scheme"), [("desk", "light"), ("desk", "dark"), ("phone", "light")])
def test_pages_have_no_violations(live_shop: Any, size: str, scheme: str) -> None:
    row, fitted = stored_plan(), stored_plan(load_starter("small_van"))
    page = live_shop.page
    page.emulate_media(color_scheme=scheme)
    addresses = {
        "plan": reverse("planning:plan", args=[row.pk]),
        "circuit": reverse("planning:circuit", args=[row.pk, row_of(row, "dip beam").pk]),
        "loom": reverse("planning:loom", args=[row.pk]),
        "panel": reverse("planning:panel", args=[row.pk]),
        "connectors": reverse("planning:connectors", args=[fitted.pk]),
        "row": reverse("planning:row", args=[fitted.pk, "connectors", fitted.connectors.all()[0].pk]),
        "supply": reverse("planning:supply", args=[fitted.pk]),
        "power": reverse("planning:power", args=[row.pk]) + "?set=ignition=run&rank=grounds",
        "sheet": reverse("planning:sheet", args=[row.pk]),
        "bench": reverse("planning:bench") + BENCH,
        "rules": reverse("planning:rules"),
    }
    found = {}
    for name, address in addresses.items():
        page.set_viewport_size(SIZES[size])
        live_shop.open(address)
        show_whole(page)
        found[name] = violations(page)
    assert not any(found.values()), found


def show_whole(page: Any) -> None:
    """The bar at the foot lies over whatever has not been scrolled to yet: make the window as high as the page."""
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": page.viewport_size["width"], "height": height + 200})


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_grid_in_use_has_no_violations(live_shop: Any, scheme: str) -> None:
    row = stored_plan()
    live_shop.page.emulate_media(color_scheme=scheme)
    page = live_shop.open(reverse("planning:plan", args=[row.pk]))
    hands = Hands(page)
    hands.at(4, "Kind")
    hands.type("l")
    page.locator(".words li").first.wait_for()
    assert violations(page) == [], "a cell being typed in"
    hands.press("Escape", "Escape")
    hands.at(4, "A each")
    hands.type("lots")
    hands.press("ArrowDown")
    page.locator(".grid-troubles li").wait_for()
    hands.press("ArrowUp")
    assert violations(page) == [], "a cell that cannot be read"
    hands.press("?")
    assert violations(page) == [], "the list of keys"


def test_disputes_have_no_violations(live_shop: Any) -> None:
    row = stored_plan()
    dip = row_of(row, "dip beam")
    page = live_shop.open(reverse("planning:circuit", args=[row.pk, dip.pk]))
    value = replace(CIRCUITS.value_of(dip), load_w=60.0)
    save_rows(plan_id=row.pk, listing=CIRCUITS, edits=[Edit("x", dip.pk, dip.version, value)], by="office")
    page.set_viewport_size({"width": 390, "height": 3600})  # all of it at once: the foot covers none of the fields
    page.get_by_label("W each").fill("65")
    page.get_by_role("button", name="Store", exact=True).click()
    page.get_by_text("was changed elsewhere").wait_for()
    assert violations(page) == [], "on a page of its own"
    page.set_viewport_size(SIZES["desk"])
    hands = Hands(live_shop.open(reverse("planning:plan", args=[row.pk])))
    dip.refresh_from_db()
    value = replace(CIRCUITS.value_of(dip), load_w=70.0)
    save_rows(plan_id=row.pk, listing=CIRCUITS, edits=[Edit("y", dip.pk, dip.version, value)], by="office")
    hands.at(2, "W each")
    hands.type("65")
    hands.press("ArrowDown")
    page.locator("dialog.dispute").wait_for()
    assert violations(page) == [], "in the grid"
