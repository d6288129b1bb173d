"""The technician's day on a phone, 390 px wide: hours, ticks, readings, a fault with its photo and its re-test."""

from __future__ import annotations

import io
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from PIL import Image

from shop.faults.models import Fault, FaultTest
from shop.floor.models import HoursEntry, Package, Tap
from shop.proof.models import CheckRow, Reading
from shop.proof.services import make_sheet
from tests.shop.floor import cast

pytestmark = pytest.mark.django_db(transaction=True)
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
SMALL = """() => [...document.querySelectorAll("main button, main a.button, main input, main select, .actions a")]
  .filter(one => one.offsetParent !== null && !["hidden", "radio", "checkbox"].includes(one.type))
  .map(one => [one.outerHTML.slice(0, 90), one.getBoundingClientRect().height]).filter(([, height]) => height < 47.5)"""


@pytest.fixture
def phone(live_shop: Any) -> Any:
    live_shop.page.set_viewport_size({"width": 390, "height": 844})
    return live_shop


@pytest.fixture
def job(phone: Any) -> Any:
    return cast.booked_job()


@pytest.fixture
def tessa(phone: Any, job: Any) -> Any:
    tessa = cast.member("tessa")
    phone.page.context.clear_cookies()
    phone.log_in(tessa)
    return tessa


@pytest.fixture
def pull(job: Any) -> Package:
    return cast.package(job, "pull", "front")


def a_photo() -> dict[str, Any]:
    out = io.BytesIO()
    Image.new("RGB", (800, 600), "brown").save(out, "JPEG")
    return {"name": "dash.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def open_package(phone: Any, pull: Package) -> Any:
    return phone.open(reverse("floor:package", args=[pull.job_id, pull.pk]))


def test_start_tick_and_stop_with_one_tap_each(phone, tessa, pull):
    page = open_package(phone, pull)
    page.get_by_role("button", name="Start").click()
    page.get_by_text("You are on").wait_for()
    page.get_by_role("button", name="horn").click()
    page.get_by_text("1 of 2 circuits").wait_for()
    page.get_by_role("button", name="Stop").click()
    page.get_by_role("button", name="Start").wait_for()
    entry = HoursEntry.objects.get()
    assert (entry.person, entry.package, entry.stopped_at is None) == (tessa, pull, False)
    pull.refresh_from_db()
    assert pull.done == 1


def test_taps_without_a_network_are_kept_and_sent_when_it_is_back(phone, tessa, pull):
    page = open_package(phone, pull)
    page.context.set_offline(True)
    page.get_by_role("button", name="Start").click()
    page.get_by_text("Kept on this phone, not sent yet: 1").wait_for()
    page.get_by_role("button", name="horn").click()
    page.get_by_text("not sent yet: 2").wait_for()
    assert not Tap.objects.exists()
    page.wait_for_timeout(1200)
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_text("1 of 2 circuits").wait_for()
    start = Tap.objects.get(act="start")
    assert (start.came_at - start.at).total_seconds() > 1, "the time of the tap, not of its arrival"
    assert HoursEntry.objects.get().started_at == start.at


def test_a_phone_closed_without_a_network_loses_nothing(phone, tessa, pull):
    page = open_package(phone, pull)
    page.context.set_offline(True)
    page.get_by_role("button", name="Start").click()
    page.get_by_text("not sent yet: 1").wait_for()
    context = page.context
    again = context.new_page()
    page.close()
    again.context.set_offline(False)
    again.goto(phone.url + reverse("floor:work", args=[pull.job_id]))
    again.get_by_text("You are on").wait_for()
    assert HoursEntry.objects.get().package == pull


def test_what_the_server_refuses_is_set_aside_in_words(phone, tessa, pull):
    page = open_package(phone, pull)
    Package.objects.filter(pk=pull.pk).update(circuits=["low beam"], of=1)
    page.get_by_role("button", name="horn").click()
    page.get_by_text("Not taken:").wait_for()
    page.get_by_text("has no circuit 'horn'").wait_for()
    page.get_by_role("button", name="Seen").click()
    page.get_by_text("Not taken:").wait_for(state="detached")


def test_readings_are_entered_one_after_the_other(phone, tessa, job):
    make_sheet(job=job, by=tessa, at=cast.hour(0))
    page = phone.open(reverse("proof:proof", args=[job.pk]))
    page.get_by_label("Meter in use").fill("bench meter")
    page.get_by_label("Reading: Ground point dash").fill("0.02 ohm")
    page.keyboard.press("Enter")
    page.get_by_text("0.02 ohm, passed").wait_for()
    page.get_by_label("Reading: Ground point tail").fill("3 ohm")
    page.keyboard.press("Enter")
    page.get_by_text("3 ohm, failed").wait_for()
    page.get_by_label("Reading: Ground point left headlamp").fill("plenty")
    page.keyboard.press("Enter")
    page.get_by_text("expected a resistance").wait_for()
    assert Reading.objects.count() == 2
    assert set(Reading.objects.values_list("meter", flat=True)) == {"bench meter"}
    assert Fault.objects.get().does == "Ground point tail reads 3 ohm"


def test_the_next_reading_is_not_wiped_while_the_last_one_is_stored(phone, tessa, job):
    make_sheet(job=job, by=tessa, at=cast.hour(0))
    page = phone.open(reverse("proof:proof", args=[job.pk]))
    page.get_by_label("Reading: Ground point dash").fill("0.02 ohm")
    page.keyboard.press("Enter")
    page.get_by_label("Reading: Ground point tail").fill("0.03")
    page.get_by_text("0.02 ohm, passed").wait_for()
    page.wait_for_timeout(800)
    assert page.get_by_label("Reading: Ground point tail").input_value() == "0.03"


def test_the_battery_goes_on_when_the_last_check_before_it_passes(phone, tessa, job):
    make_sheet(job=job, by=tessa, at=cast.hour(0))
    from tests.shop.proof.test_readings import pass_all

    pass_all(job, tessa)
    CheckRow.objects.filter(key="first power").update(latest=None)
    page = phone.open(reverse("proof:proof", args=[job.pk]))
    page.get_by_text("Battery stays off: 1 to go").wait_for()
    page.get_by_label("Reading: Current from the source").fill("80 mA")
    page.keyboard.press("Enter")
    page.get_by_text("Ready to power").wait_for()
    page.get_by_role("button", name="Connect the battery").click()
    page.get_by_text("Battery connected").wait_for()
    page.get_by_label("Reading: horn on").wait_for()


def test_a_fault_is_raised_with_a_photo_and_closed_with_a_re_test(phone, tessa, job, pull):
    page = open_package(phone, pull)
    asked: list[str] = []

    def answer(dialog: Any) -> None:
        asked.append(dialog.type)
        dialog.accept()

    page.on("dialog", answer)
    page.get_by_role("link", name="Raise a fault").click()
    page.get_by_label("What it does").fill("horn is dead")
    page.get_by_text("Stops the vehicle").click()
    page.get_by_label("Photo").set_input_files(a_photo())
    page.get_by_label("Circuits").select_option("horn")
    page.get_by_role("button", name="Raise", exact=True).click()
    page.get_by_role("heading", name="1. horn is dead").wait_for()
    assert not asked, "what is stored is not asked about"
    fault = Fault.objects.get()
    assert (fault.raised_by, fault.circuits, fault.photos.count()) == (tessa, ["horn"], 1)
    page.locator(".photos img").scroll_into_view_if_needed()
    page.wait_for_function("document.querySelector('.photos img').naturalWidth > 0")

    page.get_by_label("What was done").fill("new ground ring, horn on")
    page.get_by_label("Reading").fill("11.9 V")
    page.get_by_label("This is").select_option("passed")
    page.get_by_role("button", name="Store the test").click()
    page.get_by_text("Re-test passed.").wait_for()
    page.locator("#close_cause").fill("ring loose")
    page.locator("#close_remedy").fill("crimped anew")
    page.get_by_role("button", name="Close the fault").click()
    page.get_by_text("Fault 1 closed.").wait_for()
    assert FaultTest.objects.get().value == 11.9


def test_a_fault_raised_without_a_network_is_kept_with_its_photo(phone, tessa, job):
    page = phone.open(reverse("faults:new", args=[job.pk]))
    page.context.set_offline(True)
    page.get_by_label("What it does").fill("lamp is dim")
    page.get_by_label("Photo").set_input_files(a_photo())
    page.get_by_role("button", name="Raise", exact=True).click()
    page.get_by_text("not sent yet: 1").wait_for()
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_role("heading", name="1. lamp is dim").wait_for()
    assert Fault.objects.get().photos.count() == 1


def pages(job: Any) -> dict[str, str]:
    pull, fault = cast.package(job, "pull", "front"), Fault.objects.get()
    check, entry = CheckRow.objects.get(job=job, key="ground dash"), HoursEntry.objects.get()
    return {
        "week": reverse("floor:week"),
        "work": reverse("floor:work", args=[job.pk]),
        "package": reverse("floor:package", args=[job.pk, pull.pk]),
        "hours": reverse("floor:hours", args=[job.pk, entry.pk]),
        "proof": reverse("proof:proof", args=[job.pk]),
        "check": reverse("proof:check", args=[job.pk, check.pk]),
        "limits": reverse("proof:limits"),
        "faults": reverse("faults:faults"),
        "job faults": reverse("faults:job_faults", args=[job.pk]),
        "new fault": reverse("faults:new", args=[job.pk]),
        "fault": reverse("faults:fault", args=[job.pk, fault.pk]),
    }


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1440])
def test_every_page_fits_and_meets_wcag(phone, job, width, scheme):
    from tests.shop.proof.test_readings import read

    tessa = cast.member("tessa")
    cast.tap(tessa, "start", cast.hour(0), cast.package(job, "pull", "front"))
    make_sheet(job=job, by=tessa, at=cast.hour(0))
    read(job, "ground dash", "3 ohm", by=tessa)
    phone.page.set_viewport_size({"width": width, "height": 844})
    phone.page.emulate_media(color_scheme=scheme)
    found = []
    for name, path in pages(job).items():
        page = phone.open(path)
        if width == 390:
            found += [f"{name}: {height} px: {html}" for html, height in page.evaluate(SMALL)]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{name}: wider than the screen")
        page.set_viewport_size({"width": width, "height": page.evaluate("document.documentElement.scrollHeight")})
        violations = Axe().run(page, options=RULES).response["violations"]
        found += [f"{name}: {one['id']} {one['nodes'][0]['html'][:160]}" for one in violations]
        page.set_viewport_size({"width": width, "height": 844})
    assert not found, "\n".join(found)
