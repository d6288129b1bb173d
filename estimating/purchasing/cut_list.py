"""The cut list of a job, in the order of the bench: each roll is taken up once, longest cuts first."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.conductors import conductor
from circuits.sized import SizedPlan, SizedWire
from circuits.wiring import End, Lands
from estimating.purchasing.kits import Kit, KitLine
from estimating.stock.kinds import in_words, measure_of, wire_words
from estimating.takeoff.parts import PartKind
from estimating.takeoff.scope import Scope, is_spliced
from estimating.takeoff.tables import ladder
from estimating.takeoff.wires import end_terminal, wire_spec

PACKAGE = "estimating.purchasing"
REPAIR = "/repair"
"""Ends the name of a length that a repair lets in."""

IN_SPLICE = "in the splice"


@dataclass(frozen=True, slots=True)
class CutEnd:
    """One end of a wire: place, what it lands on, terminal, how far it is stripped [mm]."""

    place: str
    device: str
    terminal: str
    strip_mm: int


@dataclass(frozen=True, slots=True)
class CutRow:
    """One wire to cut.

    Parameters
    ----------
    number : str
        Of the wire; its label says the same.
    circuit, section : str
    size, colour : str
        Of the wire that is taken: another one than planned where something stands in.
    length : str
        For people.
    length_mm : int
    start, end : CutEnd
    roll, bin : str
        Roll or offcut to cut from; empty where it is not reserved.
    note : str
        What it stands in for, or that it has been given out already.
    """

    number: str
    circuit: str
    section: str
    size: str
    colour: str
    length: str
    length_mm: int
    start: CutEnd
    end: CutEnd
    roll: str
    bin: str
    note: str = ""


def strip_mm(area_mm2: float) -> int:
    """How far a wire is stripped for its barrel [mm]; the terminal maker's figure goes before it.

    Examples
    --------
    >>> strip_mm(2.08), strip_mm(16.0)
    (7, 12)
    """
    return int(ladder(PACKAGE, "strip_lengths.csv", "max_area_mm2").row(area_mm2)["strip_mm"])


def cut_list(sized: SizedPlan, kit: Kit) -> tuple[CutRow, ...]:
    """Every wire that the plan has cut new.

    Parameters
    ----------
    sized : SizedPlan
    kit : Kit
        Of the same job: says what each is cut from.

    Examples
    --------
    >>> from estimating.purchasing.kits import KitState
    >>> from estimating.takeoff.example import example_sized_plan
    >>> rows = cut_list(example_sized_plan(), Kit("J-1", KitState.UNPLANNED, ()))
    >>> rows[0].number, rows[0].size, rows[0].length, rows[0].start.strip_mm
    ('tail lamps/4', '16 AWG', '0.41 m', 6)
    """
    scope = Scope.of(sized)
    sources = kit.by_cut
    rows = [_row(scope, wire, sources.get(wire.wire.name)) for wire in scope.fresh]
    rows += [_repair(scope, line) for line in kit.lines if line.cut.endswith(REPAIR)]
    return tuple(sorted(rows, key=_bench_order))


def _bench_order(row: CutRow) -> tuple[float, str, str, int, str]:
    return -conductor(row.size).area_mm2, row.colour, row.roll, -row.length_mm, row.number


def _wire_of(key: str) -> tuple[str, str]:
    """Size and colour of a wire by the key of its kind."""
    return wire_words(key.removeprefix(f"{PartKind.WIRE} ").rpartition(",")[0])


def _repair(scope: Scope, line: KitLine) -> CutRow:
    """A length let into a wire that stays, with a splice at either end."""
    circuit = line.cut.removesuffix(REPAIR)
    size, colour = _wire_of(line.given or line.wanted)
    strip = strip_mm(conductor(size).area_mm2)
    end = CutEnd("where it is damaged", "repair", IN_SPLICE, strip)
    note = "cut already" if line.is_given_out else "let into the wire that stays"
    known = scope.circuits.get(circuit)
    section = known.section if known else ""
    return CutRow(line.cut, circuit, section, size, colour, line.says, line.amount, end, end, line.roll, line.bin, note)


def _row(scope: Scope, wire: SizedWire, source: KitLine | None) -> CutRow:
    size, colour = wire.conductor.label, wire.wire.colour
    note = ""
    if source is not None and source.is_substitute:
        size, colour = _wire_of(source.given)
        note = f"stands in for {wire_spec(wire)}"
    if source is not None and source.is_given_out:
        note = "cut already" if not note else f"cut already, {note}"
    length_mm = source.amount if source is not None else round(wire.wire.length_m * 1000)
    return CutRow(
        number=wire.wire.name,
        circuit=wire.wire.circuit,
        section=scope.circuits[wire.wire.circuit].section,
        size=size,
        colour=colour,
        length=in_words(measure_of(PartKind.WIRE), length_mm),
        length_mm=length_mm,
        start=_end(scope, wire, wire.wire.start),
        end=_end(scope, wire, wire.wire.end),
        roll=source.roll if source is not None else "",
        bin=source.bin if source is not None else "",
        note=note,
    )


def _end(scope: Scope, wire: SizedWire, end: End) -> CutEnd:
    area_mm2 = wire.conductor.area_mm2
    device = end.seat if end.lands is Lands.CONNECTOR else " ".join(filter(None, [end.device, end.terminal]))
    device = device.removesuffix(f" at {end.place}")  # the place stands before it
    if end.seat and end.lands is not Lands.CONNECTOR:
        device = f"{device}, {end.seat}"
    if is_spliced(end):
        return CutEnd(end.place, device, IN_SPLICE, strip_mm(area_mm2))
    return CutEnd(end.place, device, end_terminal(scope, wire, end), strip_mm(area_mm2))
