"""A whole car typed in by keyboard, as somebody does who looks at the words offered."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from circuits.plan import Circuit
from circuits.planning.faces import FACES
from circuits.planning.listing import CIRCUITS
from circuits.planning.store import load_plan
from circuits.sheets.starters import load_starter
from tests.circuits.planning.hands import Hands, grid_of, stored_plan

pytestmark = pytest.mark.django_db(transaction=True)

MAIN = [column.name for column in CIRCUITS.columns if FACES["circuits"][column.name].is_main]
KEYS_A_SECOND = 3.3  # 40 words a minute of five letters: a practised typist, no more (common practice, no source)
ALLOWED_S = 15 * 60
PICKED = "document.querySelector('.words:not([hidden]) [aria-selected=true]')?.textContent ?? ''"
FIRST = "document.querySelector('.words:not([hidden]) li')?.textContent ?? ''"


def texts(circuit: Circuit) -> dict[str, str]:
    """Texts of the columns often used."""
    cells = dict(zip([c.name for c in CIRCUITS.columns], CIRCUITS.texts_of(circuit), strict=True))
    return {name: cells[name] for name in MAIN}


def type_cell(hands: Hands, text: str, *, is_completed: bool, circuit: str) -> None:
    """Type a cell, and take the word offered as soon as it is the right one."""
    if is_completed and text == circuit:
        hands.press("F2", "ArrowDown")  # what the load is called is offered first
        return
    for index, letter in enumerate(text):
        hands.type(letter)
        if is_completed and len(text) - index > 2:
            if hands.page.evaluate(PICKED) == text:
                return
            if hands.page.evaluate(FIRST) == text:
                hands.press("ArrowDown")
                return


def type_circuit(hands: Hands, wanted: dict[str, str], given: dict[str, str]) -> None:
    for name in MAIN:
        if wanted[name] != given[name]:
            if wanted[name]:
                completed = bool(FACES["circuits"][name].words) or name == "kind"
                owner = wanted["circuit"] if name == "load" else ""
                type_cell(hands, wanted[name], is_completed=completed, circuit=owner)
            else:
                hands.press("Delete")
        if name != MAIN[-1]:
            hands.press("Tab")


def test_whole_car_is_typed_in_a_quarter_of_an_hour(live_shop: Any) -> None:
    car = load_starter("closed_car")
    row = stored_plan(replace(car, circuits=()), title="closed car")
    hands = grid_of(live_shop, row)
    hands.page.locator(".grid-table [tabindex='0']").focus()
    given = dict.fromkeys(MAIN, "")
    for circuit in car.circuits:
        wanted = texts(circuit)
        type_circuit(hands, wanted, given)
        hands.press("Enter")
        given = {name: wanted[name] if FACES["circuits"][name].hands_down else "" for name in MAIN}
    hands.settled()
    stored = load_plan(row.pk)
    assert [texts(circuit) for circuit in stored.circuits] == [texts(circuit) for circuit in car.circuits]
    assert len(stored.circuits) == 42
    assert hands.keys / KEYS_A_SECOND < ALLOWED_S, f"{hands.keys} keys"
