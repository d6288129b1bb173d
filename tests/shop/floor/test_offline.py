"""The sheets of the work without a network: opened as they were, presses sent later, nothing else kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from shop.floor.models import HoursEntry, Tap
from shop.proof.services import make_sheet
from tests.servers.cable import Cable
from tests.shop.floor import cast

STATIC = Path("shop/static/shop")
KEPT = """async () => (await (await caches.open("floor-1")).keys()).map(one => new URL(one.url).pathname)"""


def test_worker_is_bound_to_the_jobs_and_talks_to_this_site_alone(client: Client) -> None:
    url = reverse("floor:worker")
    answer = client.get(url)
    assert url.rpartition("/")[0] + "/" == answer["Service-Worker-Allowed"] == "/jobs/"
    assert answer["Content-Security-Policy"] == "default-src 'none'; connect-src 'self'"
    assert answer["Content-Type"].startswith("text/javascript")
    assert "no-cache" in answer["Cache-Control"]
    assert f'"{url}"' in (Path(settings.BASE_DIR) / STATIC / "offline.js").read_text()


@pytest.fixture
def cable(live_server: Any) -> Iterator[Cable]:
    """What joins the phone to the shop."""
    cable = Cable(live_server.thread.host, live_server.thread.port)
    yield cable
    cable.remove()


@pytest.fixture
def phone(browser: Any, cable: Cable) -> Iterator[Any]:
    """A phone whose service workers run, with nobody logged in."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, service_workers="allow")
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()


@pytest.mark.django_db(transaction=True)
def test_work_opens_without_a_network_and_what_is_pressed_is_sent_later(phone, cable):
    job, tessa = cast.booked_job(), cast.member("tessa", "owner")
    tessa.set_password("spare-fuse-box")
    tessa.save()
    make_sheet(job=job, by=tessa, at=cast.hour(0))
    pull = cast.package(job, "pull", "front")
    package = cable.url + reverse("floor:package", args=[job.pk, pull.pk])
    work, proof = (cable.url + reverse(name, args=[job.pk]) for name in ("floor:work", "proof:proof"))
    log_in(phone, cable.url)
    phone.goto(cable.url + reverse("billing:money", args=[job.pk]))
    phone.goto(work)
    phone.wait_for_selector("html[data-fetched-ahead=all]")
    phone.goto(cable.url + reverse("jobs:job", args=[job.pk]))
    phone.goto(cable.url + reverse("billing:money", args=[job.pk]))

    cable.pull()
    phone.goto(proof)
    phone.get_by_text("No network: this sheet is as it was").wait_for()
    phone.goto(package)
    phone.get_by_text("No network: this sheet is as it was").wait_for()
    phone.get_by_role("button", name="Start").click()
    phone.get_by_text("not sent yet: 1").wait_for()
    phone.goto(work)  # the phone goes on being used, closed and opened
    phone.get_by_text("not sent yet: 1").wait_for()
    with pytest.raises(Exception, match="ERR_"):
        phone.goto(cable.url + reverse("billing:money", args=[job.pk]))
    assert not Tap.objects.exists()

    cable.plug()
    phone = closed_and_opened(phone)
    phone.goto(work)
    phone.get_by_text("You are on").wait_for()
    assert HoursEntry.objects.get().package == pull

    kept = phone.evaluate(KEPT)
    sheets = [path for path in kept if not path.startswith("/static/")]
    assert sheets
    assert all(path.startswith((f"/jobs/{job.pk}/work/", f"/jobs/{job.pk}/proof/")) for path in sheets)
    phone.get_by_role("button", name="Sheet").click()
    phone.get_by_role("button", name="Log out").click()
    phone.wait_for_url("**/log-in/**")
    phone.wait_for_function("async () => (await caches.keys()).length === 0")


def closed_and_opened(phone: Any) -> Any:
    """A page anew: a browser goes on trying the one that failed."""
    again = phone.context.new_page()
    phone.close()
    return again


def log_in(phone: Any, url: str) -> None:
    phone.goto(url + reverse("people:log_in"))
    phone.get_by_label("Username").fill("tessa")
    phone.get_by_label("Password").fill("spare-fuse-box")
    phone.get_by_role("button", name="Log in", exact=True).click()
    phone.wait_for_url(url + "/")
