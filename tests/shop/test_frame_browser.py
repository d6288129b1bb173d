"""The frame in a real browser: light and dark, the title block on a phone, nothing typed is lost."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from tests.shop.floor.cast import booked_job

PHONE = {"width": 390, "height": 844}
TARGET_PX = 48
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}

pytestmark = pytest.mark.django_db(transaction=True)


def scheme(page) -> str:
    return page.evaluate("document.documentElement.dataset.scheme || ''")


def test_choice_of_dark_is_kept_by_the_next_page(live_shop) -> None:
    page = live_shop.open(reverse("jobs:jobs"))
    button = page.get_by_role("button", name="Light or dark")
    light = page.evaluate("getComputedStyle(document.querySelector('main')).backgroundColor")
    button.click()
    assert scheme(page) == "light"
    button.click()
    assert scheme(page) == "dark"
    page = live_shop.open(reverse("jobs:customers"))
    assert scheme(page) == "dark"
    assert page.evaluate("getComputedStyle(document.querySelector('main')).backgroundColor") != light
    page.get_by_role("button", name="Light or dark").click()
    page = live_shop.open(reverse("jobs:jobs"))
    assert scheme(page) == ""


def test_title_block_unfolds_at_the_thumb_and_closes_by_escape(live_shop) -> None:
    live_shop.page.set_viewport_size(PHONE)
    page = live_shop.open(reverse("people:staff"))
    links = page.get_by_role("link", name="Terms")
    assert not links.is_visible()
    page.get_by_role("button", name="Sheet 2 of").click()
    assert links.is_visible()
    for link in page.locator(".title-block li a").all():
        box = link.bounding_box()
        assert box is not None
        assert box["height"] >= TARGET_PX
    page.keyboard.press("Escape")
    assert not links.is_visible()


def test_main_action_stands_at_the_thumb_beside_the_sheet_button(live_shop) -> None:
    live_shop.page.set_viewport_size(PHONE)
    page = live_shop.open(reverse("jobs:jobs"))
    action = page.get_by_role("link", name="New job").bounding_box()
    sheet = page.locator(".foot-open").bounding_box()
    assert action is not None
    assert sheet is not None
    assert action["height"] >= TARGET_PX
    assert action["y"] > PHONE["height"] * 0.8
    assert action["x"] >= sheet["x"] + sheet["width"]


@pytest.mark.parametrize("width", [390, 768, 1280, 1440])
def test_no_page_is_wider_than_its_window(live_shop, width: int) -> None:
    live_shop.page.set_viewport_size({"width": width, "height": 900})
    for name in ("jobs:jobs", "people:shop", "people:staff", "help:start"):
        page = live_shop.open(reverse(name))
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name


def test_keyboard_goes_past_the_frame_with_one_press(live_shop) -> None:
    page = live_shop.open(reverse("jobs:jobs"))
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    assert page.locator(".skip").first.bounding_box()["y"] >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "content"


def test_page_with_something_typed_asks_before_it_is_left(live_shop) -> None:
    page = live_shop.open(reverse("people:shop"))
    page.evaluate("document.querySelector('main form').setAttribute('data-keep', '')")
    asked: list[str] = []

    def stay(dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", stay)
    page.get_by_label("Name").fill("Kestrel Lane")
    page.evaluate("location.assign('/help/')")
    page.wait_for_timeout(300)
    assert asked == ["beforeunload"]
    assert page.get_by_label("Name").input_value() == "Kestrel Lane"


def test_a_second_press_of_the_same_button_is_not_sent(live_shop) -> None:
    page = live_shop.open(reverse("people:shop"))
    sent: list[str] = []

    def keep_the_page(route) -> None:
        sent.append(route.request.method)
        route.fulfill(status=204)

    page.route(f"**{reverse('people:shop')}", keep_the_page)
    page.get_by_label("Name").fill("Kestrel Lane")
    page.evaluate(
        "() => { const b = document.querySelector('main form button'); b.click(); setTimeout(() => b.click(), 50) }"
    )
    page.wait_for_function("document.querySelector('main form button').disabled")
    page.wait_for_timeout(200)
    assert sent == ["POST"]


def test_frame_that_scrolls_can_be_reached_by_keyboard(live_shop) -> None:
    live_shop.page.set_viewport_size({"width": 390, "height": 844})
    page = live_shop.open(reverse("jobs:jobs"))
    page.evaluate(
        """() => { const figure = document.createElement("figure"); figure.className = "drawing";
        figure.innerHTML = '<svg width="900" height="40"></svg>'; document.querySelector("main").append(figure);
        document.dispatchEvent(new CustomEvent("htmx:load", { detail: { elt: figure } })); }"""
    )
    page.wait_for_function("document.querySelector('.drawing').tabIndex === 0")
    page.set_viewport_size({"width": 1440, "height": 900})
    page.wait_for_function("!document.querySelector('.drawing').hasAttribute('tabindex')")


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_frame_passes_axe_in_both_schemes(live_shop, colours: str) -> None:
    live_shop.page.emulate_media(color_scheme=colours)
    for name in ("people:shop", "people:log_in", "jobs:jobs"):
        page = live_shop.open(reverse(name))
        found = Axe().run(page, options=RULES).response["violations"]
        assert not found, [(each["id"], each["nodes"][0]["html"]) for each in found]


def test_forced_paper_colours_and_hidden_frame_in_print(live_shop) -> None:
    page = live_shop.open(reverse("jobs:jobs"))
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.querySelector('main')).color") == "rgb(0, 0, 0)"
    assert not page.locator(".cell-sections").is_visible()
    assert not page.get_by_role("link", name="New job").is_visible()


def test_a_job_is_found_from_any_sheet_by_keyboard_and_on_a_phone(live_shop) -> None:
    job = booked_job()
    page = live_shop.open(reverse("people:staff"))
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # the second way past the frame
    page.keyboard.type("he1970")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{reverse('jobs:job', args=[job.pk])}")
    page.set_viewport_size(PHONE)
    page = live_shop.open(reverse("planning:bench"))
    page.locator(".foot-open").click()
    box = page.get_by_role("searchbox", name="find a job")
    size = box.bounding_box()
    assert size is not None
    assert size["height"] >= TARGET_PX
    box.fill("fernwhistle")
    box.press("Enter")
    page.wait_for_url(f"**{reverse('jobs:job', args=[job.pk])}")
