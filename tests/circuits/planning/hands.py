"""Somebody at the keyboard of a plan's grid, for the browser tests."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from circuits.plan import Plan
from circuits.planning.models import CircuitRow, PlanRow
from circuits.planning.store import create_plan
from tests.circuits.cast import marsh_hare

STORED = "All rows are stored."


class Hands:
    """Types into the grid and counts every key pressed."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.keys = 0

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.keys += 1

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)
        self.keys += len(text)

    def cell(self, row: int, column: str) -> Any:
        """Cell of a row (from 1) by the label of its column."""
        labels = self.page.locator(".grid-table thead th").all_inner_texts()
        index = [label.strip().rstrip("*").strip().lower() for label in labels].index(column.lower())
        return self.page.locator(".grid-table tbody tr").nth(row - 1).locator(":scope > *").nth(index)

    def at(self, row: int, column: str) -> None:
        """Go to a cell as a mouse would, to start from."""
        self.cell(row, column).click()

    def settled(self, text: str = STORED) -> None:
        self.page.locator(".grid-state", has_text=text).wait_for()


def stored_plan(plan: Plan | None = None, title: str = "Marsh Hare") -> PlanRow:
    return create_plan(title=title, plan=plan or marsh_hare(), by="owner")


def grid_of(live_shop: Any, row: PlanRow) -> Hands:
    page = live_shop.open(reverse("planning:plan", args=[row.pk]))
    page.locator(".grid-table").wait_for()
    return Hands(page)


def circuit(row: PlanRow, name: str) -> CircuitRow:
    return CircuitRow.objects.get(plan=row, name=name)
