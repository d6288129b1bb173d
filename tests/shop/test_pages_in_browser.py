"""The shop's own pages in a real browser: they fit a phone and a desk, meet WCAG 2.2 AA, and make no script error."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from circuits.planning.services import FromStarter, new_plan
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job

pytestmark = pytest.mark.django_db(transaction=True)
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
LONG = "Wilhelmina-Konstantinopolitanische Oldtimerrestaurierungsgesellschaft"


@pytest.fixture
def job(db: Any) -> Job:
    customer = Customer.objects.create(name=LONG, phone="01 555 0147")
    vehicle = Vehicle.objects.create(customer=customer, description="Quillfeather saloon", plate="QF 1968")
    plan = new_plan(title="x", source=FromStarter("open_two_seater"), by="Otto")
    at = datetime(2031, 5, 2, 9, tzinfo=UTC)
    return open_job(customer=customer, vehicle=vehicle, plan=plan, opening=Opening("Rewire"), by="Otto", at=at)


def paths(job: Job) -> dict[str, str]:
    plain = [
        "jobs:jobs",
        "jobs:new",
        "jobs:customers",
        "jobs:vehicles",
        "people:shop",
        "people:staff",
        "people:password",
    ]
    plain += ["people:new_member", "help:start", "help:sheet", "help:findings", "help:basis"]
    return {name: reverse(name) for name in plain} | {
        "jobs:job": reverse("jobs:job", args=[job.pk]),
        "jobs:edit": reverse("jobs:edit", args=[job.pk]),
        "jobs:customer": reverse("jobs:customer", args=[job.customer_id]),
        "jobs:vehicle": reverse("jobs:vehicle", args=[job.vehicle_id]),
        "nothing found": reverse("jobs:jobs") + "?q=nobody",
    }


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1440])
def test_every_page_fits_and_meets_wcag(live_shop: Any, job: Job, width: int, scheme: str) -> None:
    live_shop.page.emulate_media(color_scheme=scheme)
    found = []
    for name, path in paths(job).items():
        live_shop.page.set_viewport_size({"width": width, "height": 844})
        page = live_shop.open(path)
        # As tall as the page: what the bar at the foot covers can be scrolled from under it, and is no small target.
        height = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": width, "height": max(844, height)})
        violations = Axe().run(page, options=RULES).response["violations"]
        found += [f"{name}: {one['id']} {one['nodes'][0]['html'][:160]}" for one in violations]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{name}: wider than the screen")
    assert not found, "\n".join(found)


def test_log_in_by_keyboard(live_shop: Any) -> None:
    page = live_shop.page
    page.context.clear_cookies()
    live_shop.open(reverse("people:log_in"))
    page.locator("[name=username]").focus()
    page.keyboard.type("owner")
    page.keyboard.press("Tab")
    page.keyboard.type("only-for-tests")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Jobs").wait_for()
    assert page.url == live_shop.url + reverse("jobs:jobs")
