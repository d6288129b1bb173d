"""On a phone a customer reads and accepts by link. Pages of release, links and history fit and meet WCAG."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from estimating.quotes.services import send_revision
from shop.faults.models import Weight
from shop.faults.services import Symptom, raise_fault
from shop.handover.services import release_job
from shop.links.models import CustomerLink
from shop.links.services import make_link, revoke_link
from shop.people.models import User
from tests.shop.handover.conftest import URL, booked_job, prove
from tests.shop.links.conftest import job_for

pytestmark = pytest.mark.django_db(transaction=True)
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
LONG = "Wilhelmina-Konstantinopolitanische Oldtimerrestaurierungsgesellschaft"
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def cast(db: Any) -> dict[str, Any]:
    """A quote that waits for its customer, and a job that was released."""
    now = timezone.now()
    waiting = job_for(LONG, "QF 1968")
    send_revision(quote=waiting.quote, by="Otto", at=now)
    return {"job": waiting, "link": make_link(job=waiting, days=3, by="Otto", at=now)}


def test_customer_accepts_on_a_phone(live_shop: Any, cast: dict[str, Any]) -> None:
    page = live_shop.page
    page.context.clear_cookies()
    page.set_viewport_size(PHONE)
    live_shop.open(reverse("links:open", args=[cast["link"].secret]))
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.get_by_role("link", name="Log in").count() == 0
    page.get_by_role("link", name="Accept", exact=True).click()
    name = page.get_by_label("Your name")
    assert name.bounding_box()["height"] >= 44
    name.fill("Ada Fernwhistle")
    page.get_by_label("I have read this and accept it").check()
    button = page.get_by_role("button", name="Accept for")
    assert button.bounding_box()["height"] >= 44
    button.click()
    page.get_by_text("accepted by Ada Fernwhistle").wait_for()
    assert page.get_by_role("button", name="Accept for").count() == 0
    cast["job"].refresh_from_db()
    assert cast["job"].stage == "booked"
    with page.expect_response(lambda answer: answer.url.endswith("quote-1.pdf")) as got:
        page.evaluate("fetch(document.querySelector('a[href$=\"quote-1.pdf\"]').href)")
    assert got.value.headers["content-type"] == "application/pdf"


def test_no_request_leaves_for_another_site_nor_tells_the_address(live_shop: Any, cast: dict[str, Any]) -> None:
    page = live_shop.page
    page.context.clear_cookies()
    asked: list[tuple[str, str]] = []
    page.on("request", lambda request: asked.append((request.url, request.headers.get("referer", ""))))
    live_shop.open(reverse("links:open", args=[cast["link"].secret]))
    assert asked
    assert all(url.startswith((live_shop.url, "data:")) for url, _ in asked)
    assert page.evaluate("document.referrer") == ""


def paths(cast: dict[str, Any]) -> dict[str, str]:
    """Every page, with something on it and with nothing."""
    now, owner = timezone.now(), User.objects.get(username="owner")
    done = booked_job()
    bare = booked_job()
    prove(done, owner, at=now)
    symptom = Symptom(f"{LONG} lamp dim", Weight.COMFORT, "lights on", "bright", ("tail lamp",))
    fault = raise_fault(job=done, symptom=symptom, by=owner, at=now, key="f")
    fault.advice = "Carry a spare"
    fault.save()
    release_job(job_id=done.pk, by=owner, at=now, job_url=URL)
    over, gone = (make_link(job=cast["job"], days=3, by="Otto", at=now) for _ in range(2))
    revoke_link(link_id=gone.link.pk, by="Otto", at=now)
    CustomerLink.objects.filter(pk=over.link.pk).update(expires_at=over.link.made_at + timedelta(microseconds=1))
    released = make_link(job=done, days=3, by="Otto", at=now)
    return {
        "handover released": reverse("handover:handover", args=[done.pk]),
        "handover refused": reverse("handover:handover", args=[bare.pk]),
        "links": reverse("links:links", args=[cast["job"].pk]),
        "history": reverse("history:job", args=[done.pk]),
        "nothing found": reverse("history:job", args=[done.pk]) + "?about=nothing",
        "help": reverse("help:handover"),
        "quote": reverse("links:open", args=[cast["link"].secret]),
        "papers": reverse("links:open", args=[released.secret]),
        "expired": reverse("links:open", args=[over.secret]),
        "revoked": reverse("links:open", args=[gone.secret]),
        "unknown": reverse("links:open", args=["x"]),
    }


def test_every_page_fits_and_meets_wcag(live_shop: Any, cast: dict[str, Any]) -> None:
    page, found = live_shop.page, []
    for name, path in paths(cast).items():
        for width in (390, 1440):
            page.set_viewport_size({"width": width, "height": 844})
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                page.goto(live_shop.url + path)
                violations = Axe().run(page, options=RULES).response["violations"]
                found += [f"{name} {scheme}: {one['id']} {one['nodes'][0]['html'][:160]}" for one in violations]
            if page.evaluate("document.documentElement.scrollWidth") > width:
                found.append(f"{name}: wider than {width}")
    assert not found, "\n".join(found)


def test_office_makes_an_address_in_the_browser(live_shop: Any, cast: dict[str, Any]) -> None:
    page = live_shop.page
    page.set_viewport_size(PHONE)
    live_shop.open(reverse("links:links", args=[cast["job"].pk]))
    page.get_by_role("button", name="Make a new address").click()
    address = page.get_by_role("textbox", name="Send this address").input_value()
    assert address.startswith(live_shop.url + "/for-you/")
    violations = Axe().run(page, options=RULES).response["violations"]
    assert not violations, violations
