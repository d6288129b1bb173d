"""The table of three-point minutes that work elements are multiplied by; the shop edits it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from circuits.errors import TableError
from estimating.labour.hours import ThreePoint
from estimating.takeoff.tables import rows_of

PACKAGE = "estimating.labour"


class Element(StrEnum):
    """Work elements, in the order a job meets them."""

    SURVEY = "survey and set-up"
    REMOVE_CIRCUIT = "remove circuit"
    REMOVE_WIRE = "remove wire"
    CHECK_KEPT = "check kept circuit"
    CAP_OFF = "cap off lead"
    REPAIR = "repair circuit"
    CUT_AND_STRIP = "cut and strip"
    CRIMP_SMALL = "crimp, small"
    CRIMP_LARGE = "crimp, large"
    LAND = "land wire"
    SPLICE = "splice"
    CONNECTOR = "connector"
    LABEL = "label"
    PULL_EASY = "pull wire, easy"
    PULL_NORMAL = "pull wire, normal"
    PULL_TIGHT = "pull wire, tight"
    FIT_PANEL = "fit panel"
    PANEL_POSITION = "panel position"
    FUSE_HOLDER = "fuse holder"
    RELAY = "relay"
    GROMMET = "grommet and opening"
    COVERING = "covering"
    CLIP = "clip"
    TEST = "test circuit"
    FAULT_FINDING = "fault finding"
    PROVING = "first power and proving"


@dataclass(frozen=True, slots=True)
class ElementMinutes:
    """One row of the table.

    Parameters
    ----------
    element : Element
    unit : str
        What it is counted in: ``end``, ``m``, ``circuit``, ``vehicle`` ...
    minutes : ThreePoint
        For one unit [min].
    source : str
    """

    element: Element
    unit: str
    minutes: ThreePoint
    source: str


@dataclass(frozen=True)
class MinutesTable:
    """Minutes for every work element.

    Parameters
    ----------
    rows : tuple of ElementMinutes
        One for each member of ``Element``; TableError otherwise.
    """

    rows: tuple[ElementMinutes, ...]
    _by_element: dict[str, ElementMinutes] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_element = {str(row.element): row for row in self.rows}
        missing = [element for element in Element if element not in by_element]
        if missing or len(by_element) != len(self.rows):
            raise TableError(f"minutes: every element once is expected; missing: {', '.join(missing) or 'none'}")
        object.__setattr__(self, "_by_element", by_element)

    def minutes(self, element: str) -> ThreePoint:
        """Minutes for one unit of an element; TableError if there is no such element.

        Examples
        --------
        >>> DEFAULT_MINUTES.minutes("splice").likely_min
        5.0
        """
        return self.row(element).minutes

    def row(self, element: str) -> ElementMinutes:
        """The row of an element; TableError if there is no such element.

        Examples
        --------
        >>> DEFAULT_MINUTES.row("covering").unit
        'm'
        """
        try:
            return self._by_element[element]
        except KeyError:
            raise TableError(f"no minutes for the work element {element!r}") from None

    def with_minutes(self, changes: Mapping[str, ThreePoint]) -> MinutesTable:
        """This table with the minutes of some elements changed; TableError for an element that is not in it.

        Examples
        --------
        >>> DEFAULT_MINUTES.with_minutes({"splice": ThreePoint(2, 4, 8)}).minutes("splice").likely_min
        4
        """
        for element in changes:
            self.row(element)
        return MinutesTable(
            tuple(
                replace(row, minutes=changes[row.element], source="the shop's own")
                if row.element in changes and changes[row.element] != row.minutes
                else row
                for row in self.rows
            )
        )


def _packaged() -> MinutesTable:
    return MinutesTable(
        tuple(
            ElementMinutes(
                Element(row["element"]),
                row["unit"],
                ThreePoint(float(row["optimistic_min"]), float(row["likely_min"]), float(row["pessimistic_min"])),
                row["source"],
            )
            for row in rows_of(PACKAGE, "minutes.csv")
        )
    )


DEFAULT_MINUTES = _packaged()
"""The packaged table: a start for a shop that has not measured its own (common practice, no source)."""
