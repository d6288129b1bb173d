"""What the panel page shows: each panel as it is fitted, with its buses in figures."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.drawings.panel import panel_drawings
from circuits.drawings.shapes import Drawing
from circuits.harness.panel_layout import PanelLayout, lay_out_panels
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class BusFigures:
    """One bus of a panel: fuses on it, positions free, and the current of its fuses together [A]."""

    bus: str
    fuses: int
    spares: int
    heavy: int
    load_a: float


@dataclass(frozen=True, slots=True)
class PanelShown:
    """One panel with its drawings and its buses."""

    layout: PanelLayout
    drawings: tuple[Drawing, ...]
    buses: tuple[BusFigures, ...]


def panels_shown(sized: SizedPlan) -> tuple[PanelShown, ...]:
    """Each panel of a plan, laid out.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> [shown] = panels_shown(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))))
    >>> shown.buses
    (BusFigures(bus='battery', fuses=1, spares=1, heavy=0, load_a=5.0),)
    """
    return tuple(PanelShown(layout, panel_drawings(layout), _buses(layout)) for layout in lay_out_panels(sized))


def _buses(layout: PanelLayout) -> tuple[BusFigures, ...]:
    found = []
    for bus in dict.fromkeys(filled.position.bus for filled in layout.positions):
        here = [filled for filled in layout.positions if filled.position.bus == bus]
        fuses = [filled for filled in here if filled.fuse is not None]
        heavy = sum(filled.is_heavy for filled in fuses)
        found.append(BusFigures(bus, len(fuses), len(here) - len(fuses), heavy, sum(f.load_a for f in fuses)))
    return tuple(found)
