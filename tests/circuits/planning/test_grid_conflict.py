"""Two windows on the same circuit: the first edit is never lost silently."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from circuits.plan import Circuit
from circuits.planning.changes import delete_rows, save_rows
from circuits.planning.edits import Edit
from circuits.planning.listing import CIRCUITS
from circuits.planning.models import CircuitRow
from tests.circuits.planning.hands import circuit, grid_of, stored_plan

pytestmark = pytest.mark.django_db(transaction=True)


def elsewhere(row: Any, name: str, **changed: Any) -> None:
    """Somebody else stores a change of the circuit."""
    stored = circuit(row, name)
    value: Circuit = replace(CIRCUITS.value_of(stored), **changed)
    save_rows(plan_id=row.pk, listing=CIRCUITS, edits=[Edit("x", stored.pk, stored.version, value)], by="office")


def test_both_versions_are_shown_and_each_field_is_chosen(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    elsewhere(row, "horn", load_a=7.0, section="nose")
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    dialog = hands.page.locator("dialog.dispute")
    dialog.wait_for()
    assert "office" in dialog.inner_text()
    assert circuit(row, "horn").load_a == 7.0  # nothing of ours went over it
    amperes = dialog.locator("tr", has_text="A each").locator("input")
    assert amperes.first.is_checked()
    section = dialog.locator("tr", has_text="Section").locator("input")
    assert section.last.is_checked()  # a field only they changed stays theirs unless chosen otherwise
    hands.press("Enter")
    hands.settled()
    horn = circuit(row, "horn")
    assert (horn.load_a, horn.section) == (9.0, "nose")
    assert hands.cell(4, "Section").inner_text() == "nose"


def test_theirs_is_kept_where_chosen(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    elsewhere(row, "horn", load_a=7.0)
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.page.get_by_role("button", name="All theirs").click()
    hands.page.get_by_role("button", name="Store as chosen").click()
    hands.settled()
    assert circuit(row, "horn").load_a == 7.0
    assert hands.cell(4, "A each").inner_text() == "7"


def test_deciding_later_loses_nothing(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    elsewhere(row, "horn", load_a=7.0)
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.page.get_by_role("button", name="Decide later").click()
    assert hands.cell(4, "A each").inner_text() == "9"
    hands.page.locator(".grid-troubles button").click()
    hands.page.locator("dialog.dispute").wait_for()


def test_row_taken_out_elsewhere_is_put_back_if_wanted(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    horn = circuit(row, "horn")
    delete_rows(plan_id=row.pk, listing=CIRCUITS, versions={horn.pk: horn.version}, by="office")
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.page.get_by_role("button", name="Put it back as I have it").click()
    hands.settled()
    assert circuit(row, "horn").load_a == 9.0


def test_window_that_missed_a_change_learns_of_it_with_its_next_answer(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    elsewhere(row, "gauges", load_a=1.5)
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.settled()
    assert hands.cell(5, "A each").inner_text() == "1.5"
    assert CircuitRow.objects.filter(plan=row).count() == 6


def test_rows_typed_while_the_server_is_away_are_kept_and_sent_again(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.page.context.set_offline(True)
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.page.locator(".grid-state", has_text="kept in this browser").wait_for()
    hands.type("1.5")
    hands.press("ArrowUp")
    hands.page.context.set_offline(False)
    hands.settled()
    assert (circuit(row, "horn").load_a, circuit(row, "gauges").load_a) == (9.0, 1.5)


def test_rows_not_stored_survive_a_closed_window(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    address = hands.page.url
    hands.at(4, "A each")
    hands.type("lots")
    hands.press("ArrowDown")
    hands.page.locator(".grid-troubles li").wait_for()
    hands.page.goto("about:blank")
    hands.page.goto(address)
    hands.page.locator(".grid-troubles li").wait_for()
    assert hands.cell(4, "A each").inner_text() == "lots"
    assert circuit(row, "horn").load_a == 5.0


def test_log_in_that_ran_out_is_told_and_loses_nothing(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    cookies = hands.page.context.cookies()
    hands.page.context.clear_cookies(name="sessionid")
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.page.locator(".grid-state", has_text="log in again").wait_for()
    hands.page.context.add_cookies(cookies)
    hands.settled()
    assert circuit(row, "horn").load_a == 9.0


def test_new_row_whose_answer_was_lost_is_stored_once(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    lost: list[int] = []

    def lose(route: Any) -> None:
        if lost:
            route.continue_()
        else:
            lost.append(route.fetch().status)  # the server stores it, the page never hears of it
            route.abort()

    hands.page.route("**/circuits/save/", lose)
    hands.at(4, "Circuit")
    hands.press("Control+d", "Control+s")
    hands.page.locator(".grid-state", has_text="kept in this browser").wait_for()
    hands.settled()
    assert lost == [200]
    assert CircuitRow.objects.filter(plan=row, name="horn 2").count() == 1
    assert hands.page.locator(".grid-table tbody tr").count() == 7


def test_list_that_comes_in_while_a_cell_is_typed_in_waits_for_it(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    held: list[Any] = []
    hands.page.route("**/circuits/save/", lambda route: held.append(route))
    elsewhere(row, "dip beam", load_w=60.0)
    hands.at(4, "A each")
    hands.type("9")
    hands.press("ArrowDown")
    hands.type("1.")
    hands.page.wait_for_timeout(50)
    held.pop().continue_()
    hands.settled("All rows are stored.")  # row 4 is; row 5 is still being typed
    hands.type("5")
    hands.page.unroute("**/circuits/save/")
    hands.press("Enter")
    hands.settled()
    assert hands.cell(2, "W each").inner_text() == "60"
    assert circuit(row, "gauges").load_a == 1.5
