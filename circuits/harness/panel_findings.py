"""Rules on a panel whose positions the plan lists: what finds no place, what sits wrong, what has no spare."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from circuits.figures import format_current, format_percent
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.fittings import PanelPosition
from circuits.harness.panel_rows import spares
from circuits.harness.panel_seating import Seat, Sitter, takes
from circuits.sized import SizedPlan


def layout_findings(
    panel: str, sitters: Sequence[Sitter], seats: Sequence[Seat], sized: SizedPlan
) -> Iterator[Finding]:
    """Everything to say of one listed panel.

    Parameters
    ----------
    panel : str
    sitters : sequence of Sitter
        Fuses of that panel.
    seats : sequence of Seat
        The panel as laid out.
    sized : SizedPlan
    """
    yield from _without_position(panel, sitters, seats)
    yield from _misfits(panel, seats)
    yield from _strangers(panel, sitters, seats, sized)
    yield from _heavy_neighbours(panel, seats)
    yield from _too_few_spares(panel, sitters, seats, sized)


def _words(sitter: Sitter) -> str:
    return f"{sitter.fuse.rating_a:g} A {sitter.fuse.family}"


def _without_position(panel: str, sitters: Sequence[Sitter], seats: Sequence[Seat]) -> Iterator[Finding]:
    """panel-no-position: no position that takes a fuse is left."""
    placed = {seat.sitter.fuse.name for seat in seats if seat.sitter is not None}
    for sitter in sitters:
        if sitter.fuse.name in placed:
            continue
        suiting = sum(takes(seat.position, sitter) and not seat.position.circuit for seat in seats)
        where = (
            f"{panel}: no position is left for the {_words(sitter)} fuse of {sitter.fuse.name} on the {sitter.bus} bus"
        )
        yield finding(
            "panel-no-position",
            sitter.fuse.circuit,
            where,
            figure=_words(sitter),
            limit=f"{suiting} of {len(seats)} positions take it, none of them free",
            cure=f"Add a position on the {sitter.bus} bus of {panel} that takes a {_words(sitter)} fuse.",
        )


def _misfits(panel: str, seats: Sequence[Seat]) -> Iterator[Finding]:
    """panel-misfit: the plan puts a fuse where its bus, family or rating does not suit."""
    for seat in seats:
        if seat.sitter is None or takes(seat.position, seat.sitter):
            continue
        name, label = seat.sitter.fuse.name, seat.position.label
        yield finding(
            "panel-misfit",
            seat.sitter.fuse.circuit,
            f"{panel} {label}: the plan puts {name} there, but {_misfit(seat.position, seat.sitter)}",
            figure=f"{_words(seat.sitter)}, {seat.sitter.bus} bus",
            limit=_asked(seat.position),
            cure=f"Leave the circuit of position {label} blank, or make the position suit.",
        )


def _misfit(position: PanelPosition, sitter: Sitter) -> str:
    if position.bus not in sitter.buses:
        return f"it is on the {position.bus} bus and the circuit on {sitter.bus}"
    if position.family not in ("", sitter.fuse.family):
        return f"it takes {position.family} fuses"
    return f"it takes at most {format_current(position.max_a or 0.0)}"


def _asked(position: PanelPosition) -> str:
    parts = [f"{position.bus} bus", position.family, f"up to {position.max_a:g} A" if position.max_a else ""]
    return ", ".join(part for part in parts if part)


def _strangers(panel: str, sitters: Sequence[Sitter], seats: Sequence[Seat], sized: SizedPlan) -> Iterator[Finding]:
    """panel-position-kept: a position is kept for a circuit that has no fuse at this panel, or sits elsewhere on it."""
    here = {sitter.fuse.name for sitter in sitters}
    elsewhere = {fuse.name: fuse.at for fuse in sized.fuses}
    for seat in seats:
        name = seat.position.circuit
        if not name or seat.sitter is not None:
            continue
        if name in here:
            why = f"{name} has another position already"
        elif name in elsewhere:
            why = f"the fuse of {name} sits at {elsewhere[name]}"
        else:
            why = f"no circuit called {name} has a fuse"
        label = seat.position.label
        yield finding(
            "panel-position-kept",
            "",
            f"{panel} {label}: {why}",
            figure=name,
            cure=f"Leave the circuit of position {label} blank, or name one that is fed at {panel}.",
        )


def _heavy_neighbours(panel: str, seats: Sequence[Seat]) -> Iterator[Finding]:
    """panel-heavy-neighbours: two fuses loaded high and long warm each other, and nothing can be moved between."""
    for one, other in itertools.pairwise(seats):
        if one.sitter is None or other.sitter is None or not (one.sitter.is_heavy and other.sitter.is_heavy):
            continue
        names = f"{one.sitter.fuse.name} and {other.sitter.fuse.name}"
        loads = [format_percent(s.load_a / s.fuse.rating_a * 100) for s in (one.sitter, other.sitter)]
        yield finding(
            "panel-heavy-neighbours",
            one.sitter.fuse.circuit,
            f"{panel} {one.position.label}, {other.position.label}: {names} are heavily loaded side by side",
            figure=f"{loads[0]} and {loads[1]} of their ratings",
            limit="one heavy fuse beside another",
            cure=f"Add a spare position between {one.position.label} and {other.position.label}.",
        )


def _too_few_spares(
    panel: str, sitters: Sequence[Sitter], seats: Sequence[Seat], sized: SizedPlan
) -> Iterator[Finding]:
    """panel-few-spares: a bus has fewer spare positions than the shop builds with."""
    for bus in dict.fromkeys(seat.position.bus for seat in seats):
        used = sum(bus in sitter.buses and sitter.is_plugged for sitter in sitters)
        free = sum(seat.position.bus == bus and seat.sitter is None and not seat.position.circuit for seat in seats)
        asked = spares(used, sized.rules.panel)
        if free >= asked:
            continue
        missing = asked - free
        yield finding(
            "panel-few-spares",
            "",
            f"{panel}: the {bus} bus has {free} spare of {used + free} positions",
            figure=str(free),
            limit=f"{asked} ({format_percent(sized.rules.panel.spare_share * 100)} of {used} fuses)",
            cure=f"Add {missing} position{'s' if missing > 1 else ''} on the {bus} bus of {panel}.",
        )
