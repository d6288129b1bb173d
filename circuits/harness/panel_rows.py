"""Rows of positions for a panel that the plan does not list: one row a bus, sized with its spares."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from circuits.fittings import PanelPosition
from circuits.harness.panel_seating import Sitter
from circuits.plan import BUSES
from circuits.rules import PanelRules

_LETTERS = {bus: bus[0].upper() for bus in BUSES}
_FURTHER = [letter for letter in "CDEFGHJKMNPQRTUVWXYZ" if letter not in _LETTERS.values()]


def made_rows(
    panel: str, sitters: Sequence[Sitter], before: Iterable[PanelPosition], rules: PanelRules
) -> list[list[PanelPosition]]:
    """Positions for the fuses of a panel, a row for each bus.

    A row has a letter for its bus and numbers: ``B1`` for battery. It holds the fuses and their spares, and one
    position more between any two heavy ones. Rows of an earlier layout keep their positions and grow at the end.

    Parameters
    ----------
    panel : str
    sitters : sequence of Sitter
    before : iterable of PanelPosition
        Of the earlier layout.
    rules : PanelRules
    """
    rows: dict[str, list[PanelPosition]] = {}
    for position in before:
        rows.setdefault(position.bus, []).append(position)
    plugged = Counter(s.bus for s in sitters if s.is_plugged)
    fuses, heavy = Counter(s.bus for s in sitters), Counter(s.bus for s in sitters if s.is_heavy)
    made = []
    for bus in sorted(fuses, key=lambda name: BUSES.index(name) if name in BUSES else len(BUSES)):
        row = list(rows.get(bus, ()))
        letter = row[0].label.rstrip("0123456789") if row else _letter(bus, rows)
        needed = max(fuses[bus] + spares(plugged[bus], rules), 2 * heavy[bus] - 1)
        row += [PanelPosition(panel, f"{letter}{number}", bus) for number in range(len(row) + 1, needed + 1)]
        rows[bus] = row
        made.append(row)
    return made


def spares(fuses: int, rules: PanelRules) -> int:
    """Spare positions asked for on a bus of ``fuses`` fuses.

    Examples
    --------
    >>> [spares(fuses, PanelRules()) for fuses in (0, 1, 5, 6, 20)]
    [0, 1, 1, 2, 4]
    """
    return math.ceil(round(fuses * rules.spare_share, 9))


def _letter(bus: str, rows: dict[str, list[PanelPosition]]) -> str:
    if bus in _LETTERS:
        return _LETTERS[bus]
    taken = {row[0].label.rstrip("0123456789") for row in rows.values() if row}
    free = (letter for letter in (*_FURTHER, *(f"{a}{b}" for a in _FURTHER for b in _FURTHER)) if letter not in taken)
    return next(free)
