"""Costing pages in a real browser: by keyboard alone, on a phone, and held to WCAG 2.2 AA."""

from __future__ import annotations

from decimal import Decimal

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from circuits.planning.store import create_plan
from estimating.quotes.models import PriceRow, QuoteRevision
from estimating.quotes.services import create_quote, send_revision
from estimating.quotes.settings_services import save_price, start_price_book
from tests.estimating.quotes import cast

RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
NAMES = ("parts", "hours", "quote", "revision", "prices", "new_price", "import_prices", "minutes", "terms")


@pytest.fixture
def quote(live_shop):
    plan = create_plan(title="Heron estate, rewire", plan=cast.PLAN, by="Ada")
    return create_quote(plan=plan, addressee="R. Oduya", vehicle="Heron estate", by="Ada")


@pytest.fixture
def addresses(quote):
    start_price_book()
    send_revision(quote=quote, by="Ada", at=timezone.now())
    args = {"parts": [quote.plan_id], "hours": [quote.plan_id], "quote": [quote.pk], "revision": [quote.pk, 1]}
    return {name: reverse(f"quotes:{name}", args=args.get(name, [])) for name in NAMES}


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1440, "light")])
def test_every_page_fits_and_meets_wcag(live_shop, addresses, width, scheme):
    live_shop.page.set_viewport_size({"width": width, "height": 844})
    live_shop.page.emulate_media(color_scheme=scheme)
    found = []
    for name, path in addresses.items():
        page = live_shop.open(path)
        # As tall as the page: else the title block at the foot lies over what can be scrolled clear of it.
        page.set_viewport_size({"width": width, "height": page.evaluate("document.documentElement.scrollHeight")})
        found += [
            f"{name}: {v['id']} {v['nodes'][0]['html'][:160]}"
            for v in Axe().run(page, options=RULES).response["violations"]
        ]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{name}: wider than the screen")
    assert not found, "\n".join(found)


def _wait_for_row(page):
    """Until the row that came in is wired up and has the focus; no person types sooner."""
    page.wait_for_function("!document.querySelector('.htmx-added') && document.activeElement.name === 'cost'")


def test_price_is_changed_in_its_row_by_keyboard(live_shop, db):
    row = save_price(row=PriceRow(kind="clip", spec="*", unit="piece", cost=Decimal("0.50"), pack=50))
    page = live_shop.open(reverse("quotes:prices"))
    page.get_by_role("link", name="Change clip *").focus()
    page.keyboard.press("Enter")
    _wait_for_row(page)
    page.keyboard.press("Control+a")
    page.keyboard.type("x")
    page.keyboard.press("Enter")
    page.get_by_text("expected a number such as 1.25").wait_for()
    _wait_for_row(page)
    page.keyboard.press("Control+a")
    page.keyboard.type("0.80")
    page.keyboard.press("Enter")
    page.get_by_role("cell", name="1.04").wait_for()
    page.wait_for_function("document.activeElement.textContent.startsWith('Change')")
    row.refresh_from_db()
    assert row.cost == Decimal("0.80")


def test_quote_is_sent_and_accepted(live_shop, quote):
    page = live_shop.open(reverse("quotes:quote", args=[quote.pk]))
    page.get_by_role("button", name="Send revision 1").click()
    page.get_by_text("is with the customer").wait_for()
    page.get_by_label("Name of the customer").fill("R. Oduya")
    page.get_by_label("The customer has read").check()
    page.get_by_role("button", name="Accept revision 1").click()
    page.get_by_text("Accepted by R. Oduya").wait_for()
    assert QuoteRevision.objects.get().state == "accepted"


def test_price_list_is_brought_in(live_shop, db):
    page = live_shop.open(reverse("quotes:import_prices"))
    content = b"kind,spec,unit,cost\nwire,14 AWG*,m,0.60\n"
    page.get_by_label("Price list").set_input_files({"name": "p.csv", "mimeType": "text/csv", "buffer": content})
    page.get_by_role("button", name="Read the list").click()
    page.get_by_role("button", name="Store 1 row").click()
    page.get_by_text("Stored: 1 row.").wait_for()
    assert PriceRow.objects.get().spec == "14 AWG*"
