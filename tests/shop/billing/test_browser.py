"""Money in a real browser: every page fits a phone and a desk and meets WCAG 2.2 AA; the way from quote to paid."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from shop.billing.change_services import send_change
from shop.billing.models import Document, Payment
from shop.billing.orders import What
from tests.estimating.quotes.cast import FAN, HEADLAMP, SOCKET, TAIL
from tests.shop.billing import cast

pytestmark = pytest.mark.django_db(transaction=True)
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
LONG = "Wilhelmina-Konstantinopolitanische Oldtimerrestaurierungsgesellschaft"


@pytest.fixture
def job(db: Any) -> Any:
    job = cast.booked_job(LONG)
    deposit = cast.issue(job, What.DEPOSIT)
    cast.pay(job, "5.00", deposit)
    cast.plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    send_change(job=job, note="As asked for", by="Otto", at=cast.NOON)
    return job


def paths(job: Any) -> dict[str, str]:
    row = Document.objects.get()
    one = {
        name: reverse(f"billing:{name}", args=[job.pk]) for name in ("money", "pay", "refund", "change", "new_invoice")
    }
    days = f"?first={cast.TODAY}&last={cast.TODAY + timedelta(days=1)}"
    return one | {
        "lines": one["new_invoice"] + "?what=rest",
        "refused": one["new_invoice"] + "?what=part",
        "invoice": reverse("billing:invoice", args=[job.pk, row.pk]),
        "credit": reverse("billing:credit", args=[job.pk, row.pk]),
        "sent_change": reverse("billing:sent_change", args=[job.pk, 1]),
        "invoices": reverse("billing:invoices"),
        "nothing found": reverse("billing:invoices") + "?q=nobody",
        "journal": reverse("billing:journal") + days,
        "job": reverse("jobs:job", args=[job.pk]),
        "help": reverse("help:money"),
    }


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1440])
def test_every_page_fits_and_meets_wcag(live_shop: Any, job: Any, width: int, scheme: str) -> None:
    # Tall: a link that happens to lie under the bar at the foot is one scroll away from it, not too small to press.
    live_shop.page.set_viewport_size({"width": width, "height": 2600})
    live_shop.page.emulate_media(color_scheme=scheme)
    found = []
    for name, path in paths(job).items():
        page = live_shop.open(path)
        violations = Axe().run(page, options=RULES).response["violations"]
        found += [f"{name}: {one['id']} {one['nodes'][0]['html'][:160]}" for one in violations]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{name}: wider than the screen")
    assert not found, "\n".join(found)


@pytest.mark.parametrize("has_script", [True, False])
def test_from_the_accepted_change_to_the_last_payment_by_keyboard(
    browser: Any, live_shop: Any, job: Any, has_script: bool
) -> None:
    context = browser.new_context(java_script_enabled=has_script, viewport={"width": 390, "height": 844})
    context.add_cookies(live_shop.page.context.cookies())
    page = context.new_page()
    page.set_default_timeout(10_000)

    page.goto(live_shop.url + reverse("billing:sent_change", args=[job.pk, 1]))
    page.get_by_label("Name of the customer who answers").focus()
    page.keyboard.type("A. Fernwhistle")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Enter")
    page.get_by_text("Accepted by A. Fernwhistle").wait_for()

    page.goto(live_shop.url + reverse("billing:new_invoice", args=[job.pk]))
    page.get_by_label("Rest of the agreed price").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Show the invoice").first.press("Enter")
    page.get_by_role("heading", name="Final invoice, as it would be issued").wait_for()
    page.get_by_role("button", name="Issue for").press("Enter")
    page.get_by_text("From now on it cannot be changed").wait_for()

    while True:
        page.goto(live_shop.url + reverse("billing:pay", args=[job.pk]))
        if not page.get_by_label("Amount").input_value():
            break
        page.get_by_role("button", name="Book as received").press("Enter")
        page.get_by_text("booked as received").wait_for()
    context.close()
    assert Payment.objects.count() == 3
    assert Document.objects.filter(balance__open=0).count() == 2
