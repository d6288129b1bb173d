"""Blocks from a spreadsheet pasted into the grid, and back out."""

from __future__ import annotations

from typing import Any

import pytest

from circuits.planning.models import CircuitRow
from tests.circuits.planning.hands import circuit, grid_of, stored_plan

pytestmark = pytest.mark.django_db(transaction=True)

HEAD = "circuit\tsection\tfeed\tfed_at\tload\tload_at\tload_w\tkind\tcolour"
GOOD = "reversing lamps\trear\tignition\tpanel\treversing lamp\tleft tail; right tail\t21\tlamp\tgn/bn"
FOG = "fog lamp\trear\tlighting\tpanel\trear fog lamp\tright tail\t21\tlamp\t"


def paste(hands: Any, text: str) -> None:
    hands.page.evaluate(
        """(text) => {
          const data = new DataTransfer();
          data.setData("text/plain", text);
          const options = {clipboardData: data, bubbles: true, cancelable: true};
          document.activeElement.dispatchEvent(new ClipboardEvent("paste", options));
        }""",
        text,
    )


def copied(hands: Any) -> str:
    return hands.page.evaluate(
        """() => {
          const options = {clipboardData: new DataTransfer(), bubbles: true, cancelable: true};
          const event = new ClipboardEvent("copy", options);
          document.activeElement.dispatchEvent(event);
          return event.clipboardData.getData("text/plain");
        }"""
    )


def test_block_with_a_header_is_stored_as_one(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(6, "Circuit")
    hands.press("Enter")
    paste(hands, f"{HEAD}\n{GOOD}\n{FOG}\n")
    hands.settled()
    names = list(CircuitRow.objects.filter(plan=row).values_list("name", flat=True))
    assert names[6:] == ["reversing lamps", "fog lamp"]
    assert circuit(row, "reversing lamps").load_at == ["left tail", "right tail"]
    assert circuit(row, "reversing lamps").colour == "GN/BN"


def test_block_with_faults_stores_nothing_and_names_every_fault(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(6, "Circuit")
    hands.press("Enter")
    bad = FOG.replace("\t21\t", "\tbright\t").replace("\tlamp\t", "\tlantern\t")
    paste(hands, f"{HEAD}\n{GOOD}\n{bad}\n")
    troubles = hands.page.locator(".grid-troubles li")
    troubles.nth(1).wait_for()
    assert [text.split(",")[0] for text in troubles.all_inner_texts()] == ["Row 8", "Row 8"]
    assert CircuitRow.objects.filter(plan=row).count() == 6
    assert hands.cell(7, "Circuit").inner_text() == "reversing lamps"  # nothing pasted is lost
    hands.at(8, "W each")
    hands.type("21")
    hands.press("Tab")
    hands.type("lam")
    hands.press("Tab", "Control+s")
    hands.settled()
    assert CircuitRow.objects.filter(plan=row).count() == 8


def test_paste_is_taken_back(live_shop: Any) -> None:
    row = stored_plan()
    hands = grid_of(live_shop, row)
    hands.at(4, "A each")
    paste(hands, "6\n1.5\n")
    hands.settled()
    assert circuit(row, "horn").load_a == 6.0
    hands.press("Control+z")
    hands.page.wait_for_function("document.querySelector('.grid-said').textContent === 'Taken back.'")
    hands.settled()
    assert (circuit(row, "horn").load_a, circuit(row, "gauges").load_a) == (5.0, 0.8)


def test_block_copied_is_what_a_spreadsheet_takes(live_shop: Any) -> None:
    hands = grid_of(live_shop, stored_plan())
    hands.at(3, "Load")
    hands.press("Shift+ArrowDown", "Shift+ArrowRight")
    assert copied(hands) == "tail lamp\tleft tail; right tail\nhorn\tnose"


def test_text_that_a_spreadsheet_would_run_is_copied_as_text(live_shop: Any) -> None:
    row = stored_plan()
    CircuitRow.objects.filter(plan=row, name="horn").update(load="=1+1")
    hands = grid_of(live_shop, row)
    hands.at(4, "Load")
    assert copied(hands) == "'=1+1"
    hands.press("ArrowDown")
    paste(hands, "'=1+1")
    hands.press("ArrowUp")
    hands.settled()
    assert circuit(row, "gauges").load == "=1+1"
