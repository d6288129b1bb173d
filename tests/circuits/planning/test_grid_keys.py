"""The grid of circuits in a real browser, by keyboard alone."""

from __future__ import annotations

from typing import Any

import pytest

from circuits.plan import Kind
from circuits.planning.models import CircuitRow
from tests.circuits.planning.hands import circuit, grid_of, stored_plan

pytestmark = pytest.mark.django_db(transaction=True)


def test_circuit_is_typed_without_the_mouse(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.page.locator(".grid-table [tabindex='0']").focus()
    hands.press("Control+End", "Home", "Enter")
    hands.type("fog lamp")
    hands.press("Tab", "Tab", "Tab", "Tab")  # section, feed and panel are taken over from the row above
    hands.type("da")
    hands.press("Tab")
    hands.type("fog")
    hands.press("Tab", "Tab")
    hands.type("rear fog lamp")
    hands.press("Tab")
    hands.type("right t")
    hands.press("Tab", "Tab")
    hands.type("21")
    hands.press("Tab")
    hands.type("la")
    hands.press("Enter")
    hands.settled()
    fog = circuit(row, "fog lamp")
    above = CircuitRow.objects.filter(plan=row).order_by("position")[5]
    assert (fog.section, fog.feed, fog.fed_at) == (above.section, above.feed, above.fed_at)
    assert (fog.switch_at, fog.switch, fog.load, fog.load_at) == ("dash", "fog", "rear fog lamp", ["right tail"])
    assert (fog.load_w, fog.load_a, fog.kind) == (21.0, None, Kind.LAMP)
    assert fog.position == 6
    assert fog.updated_by == "owner"


def test_result_stands_beside_the_row_once_it_is_left(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "A each")
    before = hands.cell(4, "Wire").inner_text()
    hands.type("30")
    hands.press("ArrowDown")
    hands.settled()
    assert hands.cell(4, "Current").inner_text() == "30 A"
    assert hands.cell(4, "Wire").inner_text() != before
    assert circuit(row, "horn").load_a == 30.0


def test_escape_leaves_the_cell_as_it_was(live_shop: Any) -> None:
    hands = grid_of(live_shop, stored_plan())
    hands.at(4, "Load")
    hands.type("siren")
    hands.press("Escape")
    assert hands.cell(4, "Load").inner_text() == "horn"


def test_row_once_more_gets_a_name_of_its_own(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "Circuit")
    hands.press("Control+d", "Control+s")
    hands.settled()
    twin = circuit(row, "horn 2")
    assert (twin.position, twin.load_at, twin.switch) == (4, ["nose"], "horn")


def test_row_taken_out_comes_back(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "Circuit")
    hands.press("Control+Delete")
    hands.page.locator(".grid-table tbody tr").nth(5).wait_for(state="detached")
    hands.page.wait_for_function("document.querySelector('#plan-summary dd').textContent === '5'")
    assert not CircuitRow.objects.filter(plan=row, name="horn").exists()
    hands.press("Control+z")
    hands.page.wait_for_function("document.querySelector('#plan-summary dd').textContent === '6'")
    back = circuit(row, "horn")
    assert (back.load_a, back.switch) == (5.0, "horn")
    assert list(CircuitRow.objects.filter(plan=row).values_list("name", flat=True))[3] == "horn"


def test_row_moves_up(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "Circuit")
    with hands.page.expect_response(lambda response: "/move/" in response.url):
        hands.press("Alt+ArrowUp")
    hands.settled()
    assert list(CircuitRow.objects.filter(plan=row).values_list("name", flat=True))[2:4] == ["horn", "tail lamps"]
    assert hands.cell(3, "Circuit").inner_text() == "horn"


def test_new_row_in_which_nobody_typed_is_never_stored(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(6, "Circuit")
    hands.press("Enter")
    assert hands.page.locator(".grid-table tbody tr").count() == 7
    hands.press("ArrowUp")
    assert hands.page.locator(".grid-table tbody tr").count() == 6
    hands.settled()
    assert CircuitRow.objects.filter(plan=row).count() == 6


def test_cell_that_cannot_be_read_keeps_its_text_and_says_what_is_expected(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "A each")
    hands.type("lots")
    hands.press("ArrowDown")
    hands.page.locator(".grid-troubles", has_text="A each: found “lots”, expected").wait_for()
    cell = hands.cell(4, "A each")
    assert cell.get_attribute("aria-invalid") == "true"
    assert cell.inner_text() == "lots"
    assert circuit(row, "horn").load_a == 5.0
    hands.type("0.9")  # the person goes on, in the next row
    hands.press("Enter")
    hands.settled("1 row is not yet stored.")
    assert circuit(row, "gauges").load_a == 0.9
    hands.at(4, "A each")
    hands.type("6")
    hands.press("Enter")
    hands.settled()
    assert circuit(row, "horn").load_a == 6.0


def test_rename_keeps_what_the_circuit_feeds(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(5, "Circuit")
    hands.type("instruments")
    hands.press("ArrowDown")
    hands.settled()
    assert hands.cell(6, "Feed").inner_text() == "instruments"
    assert circuit(row, "fuel level").feed == "instruments"


def test_columns_seldom_used_are_reached_by_keyboard(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "Kind")
    hands.press("F8", "ArrowRight")
    hands.type("c")
    hands.press("Tab", "Tab", "Tab", "Tab", "Tab")
    hands.type("gn/wh")
    hands.press("Tab", "ArrowDown")
    hands.settled()
    horn = circuit(row, "horn")
    assert (horn.duty, horn.colour) == ("continuous", "GN/WH")


def test_keys_are_listed_on_a_question_mark(live_shop: Any) -> None:
    hands = grid_of(live_shop, stored_plan())
    hands.at(1, "Circuit")
    hands.press("?")
    assert "take the row out" in hands.page.locator("dialog.key-list").inner_text()
    hands.press("Escape")
    assert hands.page.locator("dialog[open]").count() == 0


def test_tab_leaves_the_table_after_escape(live_shop: Any) -> None:
    hands = grid_of(live_shop, stored_plan())
    hands.at(2, "Section")
    hands.press("Escape", "Tab")
    assert hands.page.evaluate("document.activeElement.closest('.grid-frame') === null")


def test_technician_reads_only(live_shop: Any, django_user_model: Any) -> None:
    live_shop.log_in(django_user_model.objects.create_user("wireman", password="only-for-tests", role="technician"))
    hands = grid_of(live_shop, stored_plan())
    hands.at(4, "Load")
    hands.type("siren")
    hands.press("Enter")
    assert hands.page.locator(".cell-input").count() == 0
    assert hands.cell(4, "Load").inner_text() == "horn"


def test_row_is_stored_when_the_person_goes_elsewhere_on_the_page(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "A each")
    hands.type("9")
    hands.press("Tab")
    hands.page.locator("h1").click()
    hands.settled()
    assert circuit(row, "horn").load_a == 9.0


def test_text_is_shown_as_text_never_as_markup(live_shop: Any) -> None:
    row = stored_plan()
    CircuitRow.objects.filter(plan=row, name="horn").update(name="<img src=x onerror=alert(1)>", load="<b>&amp;")
    hands = grid_of(live_shop, row)
    assert hands.cell(4, "Circuit").inner_text() == "<img src=x onerror=alert(1)>"
    hands.at(4, "Load")
    hands.press("F2")
    assert hands.page.locator(".cell-input").input_value() == "<b>&amp;"
    hands.press("ArrowDown")  # the words offered hold it too
    assert hands.page.locator("main img, .words img").count() == 0


def test_long_and_multi_line_text_survives_being_looked_at(live_shop: Any) -> None:
    row = stored_plan()
    CircuitRow.objects.filter(plan=row, name="horn").update(load="first line\nsecond line")
    hands = grid_of(live_shop, row)
    hands.at(4, "Load")
    hands.press("F2", "Tab")
    hands.type("nose; dash")
    hands.press("ArrowDown")
    hands.settled()
    horn = circuit(row, "horn")
    assert (horn.load, horn.load_at) == ("first line\nsecond line", ["nose", "dash"])
