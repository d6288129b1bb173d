"""Fuse panels laid out: which fuse sits at which position.

A panel is that of the plan where the plan lists its positions; else rows are made for it, one a bus, with spares. Every
fuse sits on its own bus, at a position that takes its family and rating; a circuit that the plan puts somewhere stays
there. As few fuses as can be are left without a position, then as few heavy ones as can be are neighbours, then as few
as can be are moved against an earlier layout; the rest keep the order of the plan. The optimum is found by integer
programming (HiGHS) and is the same each time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from circuits.findings import Finding
from circuits.fittings import PanelPosition
from circuits.harness.panel_buses import buses_of
from circuits.harness.panel_findings import layout_findings
from circuits.harness.panel_rows import made_rows
from circuits.harness.panel_seating import PLUGGED, Seat, Sitter, seated
from circuits.rules import PanelRules
from circuits.sized import Fuse, SizedPlan
from circuits.wiring import Protection


@dataclass(frozen=True, slots=True)
class FilledPosition:
    """One position of a panel with what sits there.

    Parameters
    ----------
    position : PanelPosition
    fuse : Fuse or None
        None = spare.
    load_a : float
        What the fuse carries [A]; 0 where spare.
    is_heavy : bool
        True where it is loaded so long and so high that its neighbours feel it.
    """

    position: PanelPosition
    fuse: Fuse | None = None
    load_a: float = 0.0
    is_heavy: bool = False


@dataclass(frozen=True, slots=True)
class PanelLayout:
    """One panel laid out.

    Parameters
    ----------
    panel : str
        Place of the panel.
    positions : tuple of FilledPosition
        In their order on the panel; one beside the next are neighbours.
    is_listed : bool
        True where the plan lists the positions, False where rows were made for it.
    unplaced : tuple of Fuse
        Those no position takes.
    moved : tuple of str
        Names of fuses that sat elsewhere before.
    findings : tuple of Finding
    """

    panel: str
    positions: tuple[FilledPosition, ...]
    is_listed: bool
    unplaced: tuple[Fuse, ...] = ()
    moved: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def spares(self) -> int:
        """Positions with nothing in them."""
        return sum(filled.fuse is None for filled in self.positions)

    def label_of(self, fuse: str) -> str:
        """Label of the position where the fuse of that name sits; empty where it has none."""
        return next((f.position.label for f in self.positions if f.fuse is not None and f.fuse.name == fuse), "")


def lay_out_panels(sized: SizedPlan, before: Sequence[PanelLayout] = ()) -> tuple[PanelLayout, ...]:
    """Lay out every panel of a plan.

    Parameters
    ----------
    sized : SizedPlan
        With its fuses rated; ``sized.rules.panel`` says how many spares and what is heavy.
    before : sequence of PanelLayout
        An earlier layout, of which as few fuses as can be are moved.

    Returns
    -------
    tuple of PanelLayout
        Panels in the order in which the fuses name them, then those listed that have none.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> [layout] = lay_out_panels(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))))
    >>> [(filled.position.label, filled.fuse.name if filled.fuse else "spare") for filled in layout.positions]
    [('B1', 'horn'), ('B2', 'spare')]
    """
    plan = sized.wiring.plan
    loads = {protection.name: protection for protection in sized.wiring.protections}
    listed = _by_panel(plan.positions)
    fuses: dict[str, list[Fuse]] = {}
    for fuse in sized.fuses:
        fuses.setdefault(fuse.at, []).append(fuse)
    earlier = {layout.panel: layout for layout in before}
    buses = buses_of(plan)
    laid = []
    for panel in dict.fromkeys((*fuses, *listed)):
        sitters = [_sitter(fuse, loads, buses, sized.rules.panel) for fuse in fuses.get(panel, ())]
        laid.append(_lay_out(panel, sitters, listed.get(panel, ()), earlier.get(panel), sized))
    return tuple(laid)


def kept(layouts: Iterable[PanelLayout]) -> tuple[PanelPosition, ...]:
    """Positions that keep a layout as it is: listed in a plan, they hold every fuse where it sits and leave the spares.

    Parameters
    ----------
    layouts : iterable of PanelLayout

    Examples
    --------
    >>> from circuits.plan import FuseFamily
    >>> horn = Fuse("horn", FuseFamily.BLADE, 15.0, "panel", "horn", "blue", "")
    >>> spots = (FilledPosition(PanelPosition("panel", "B1", "battery"), horn), )
    >>> [position.circuit for position in kept([PanelLayout("panel", spots, is_listed=False)])]
    ['horn']
    """
    return tuple(
        replace(filled.position, circuit=filled.fuse.name) if filled.fuse is not None else filled.position
        for layout in layouts
        for filled in layout.positions
    )


def _by_panel(positions: Iterable[PanelPosition]) -> dict[str, list[PanelPosition]]:
    found: dict[str, list[PanelPosition]] = {}
    for position in positions:
        found.setdefault(position.panel, []).append(position)
    return found


def _sitter(fuse: Fuse, loads: dict[str, Protection], buses: dict[str, tuple[str, ...]], rules: PanelRules) -> Sitter:
    protection = loads[fuse.name]
    is_heavy = (
        protection.continuous
        and fuse.family in PLUGGED
        and fuse.rating_a >= rules.heavy_from_a
        and protection.load_a >= rules.heavy_share * fuse.rating_a
    )
    return Sitter(fuse, protection.load_a, buses[fuse.circuit], is_heavy)


def _lay_out(
    panel: str,
    sitters: Sequence[Sitter],
    listed: Sequence[PanelPosition],
    earlier: PanelLayout | None,
    sized: SizedPlan,
) -> PanelLayout:
    sat = {f.fuse.name: f.position.label for f in earlier.positions if f.fuse is not None} if earlier else {}
    rules = sized.rules.panel
    if listed:
        rows: Sequence[Sequence[PanelPosition]] = [listed]
    else:
        rows = made_rows(panel, sitters, [f.position for f in earlier.positions] if earlier else (), rules)
    seats = [seat for row in rows for seat in seated(row, _of_row(sitters, row, bool(listed)), sat)]
    placed = {seat.sitter.fuse.name for seat in seats if seat.sitter is not None}
    return PanelLayout(
        panel=panel,
        positions=tuple(_filled(seat) for seat in seats),
        is_listed=bool(listed),
        unplaced=tuple(sitter.fuse for sitter in sitters if sitter.fuse.name not in placed),
        moved=tuple(
            seat.sitter.fuse.name
            for seat in seats
            if seat.sitter is not None and sat.get(seat.sitter.fuse.name, seat.position.label) != seat.position.label
        ),
        findings=tuple(layout_findings(panel, sitters, seats, sized)) if listed else (),
    )


def _of_row(sitters: Sequence[Sitter], row: Sequence[PanelPosition], is_listed: bool) -> Sequence[Sitter]:
    """A row that was made holds one bus; a panel that is listed holds all."""
    return sitters if is_listed else [sitter for sitter in sitters if sitter.bus == row[0].bus]


def _filled(seat: Seat) -> FilledPosition:
    if seat.sitter is None:
        return FilledPosition(seat.position)
    return FilledPosition(seat.position, seat.sitter.fuse, seat.sitter.load_a, seat.sitter.is_heavy)
