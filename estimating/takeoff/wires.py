"""What every fresh wire asks for: its length, a terminal and heat-shrink at each end, labels."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, lru_cache

from circuits.fittings import Half
from circuits.plan import FuseFamily
from circuits.sized import SizedWire
from circuits.wiring import End, Lands
from estimating.takeoff.needs import Need
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.scope import Scope, ends_with_terminal
from estimating.takeoff.tables import Ladder, ladder, rows_of

PACKAGE = "estimating.takeoff"

ANY_COLOUR = "any colour"
"""For a wire whose colour nobody wrote down; so it still matches a price for every colour of its size."""


def wire_needs(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """Needs of the fresh wires, one wire after the other.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> scope = Scope.of(example_sized_plan())
    >>> [(need.kind.value, need.spec, need.quantity) for need in wire_needs(scope, TakeoffRules())][:2]
    [('wire', '16 AWG BN', 3.35), ('label', 'wire label', 2)]
    """
    for sized in scope.fresh:
        wire, area_mm2 = sized.wire, sized.conductor.area_mm2
        causes = (wire.circuit,)
        yield Need(PartKind.WIRE, wire_spec(sized), wire.length_m, Unit.METRE, causes, area_mm2)
        yield Need(PartKind.LABEL, "wire label", rules.labels_per_wire, Unit.PIECE, causes)
        yield from _end_needs(scope, sized, causes, rules)


def wire_spec(sized: SizedWire) -> str:
    """What a buyer needs to know of a wire: size and colour.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> wire_spec(example_sized_plan().wires[0])
    '16 AWG BN'
    """
    return f"{sized.conductor.label} {sized.wire.colour or ANY_COLOUR}"


def _end_needs(scope: Scope, sized: SizedWire, causes: tuple[str, ...], rules: TakeoffRules) -> Iterator[Need]:
    area_mm2 = sized.conductor.area_mm2
    for end in ends_with_terminal(sized):
        yield Need(PartKind.TERMINAL, end_terminal(scope, sized, end), 1, Unit.PIECE, causes, area_mm2)
        yield heat_shrink(sized.conductor.outer_mm, rules.heat_shrink_end_m, causes)


def end_terminal(scope: Scope, sized: SizedWire, end: End) -> str:
    """The terminal that goes on one end of a wire: the contact of its connector, else by what it lands on.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> sized = example_sized_plan()
    >>> end_terminal(Scope.of(sized), sized.wires[3], sized.wires[3].wire.end)
    'ring M6, 22-16 AWG (0.35-1.5 mm²)'
    """
    area_mm2 = sized.conductor.area_mm2
    if end.half is not None:
        return contact_spec(scope.series_of.get(end.connector, ""), end.half, area_mm2)
    fuse = scope.fuse_above(sized) if end.lands is Lands.FUSE else None
    lands = Lands.LOAD if end.lands is Lands.SUPPLY and scope.is_tap(sized.wire.circuit) else end.lands
    return terminal_spec(lands, area_mm2, fuse.family if fuse else None)


def contact_spec(series: str, half: Half, area_mm2: float) -> str:
    """The contact of a connector for a wire of ``area_mm2`` [mm²].

    Parameters
    ----------
    series : str
        Of the connector; empty = not known.
    half : Half
    area_mm2 : float

    Examples
    --------
    >>> contact_spec("sealed 2.8", Half.PIN, 1.31)
    'pin contact sealed 2.8, 22-16 AWG (0.35-1.5 mm²)'
    """
    return f"{half} contact {series or 'of unknown series'}, {wire_range(area_mm2)}"


@lru_cache(maxsize=4096)
def heat_shrink(outer_mm: float, length_m: float, causes: tuple[str, ...]) -> Need:
    """Heat-shrink over something of ``outer_mm`` [mm], ``length_m`` long [m].

    Examples
    --------
    >>> heat_shrink(3.0, 0.03, ("horn",)).spec
    '4.8 mm'
    """
    supplied = ladder(PACKAGE, "heat_shrink.csv", "max_outer_mm").row(outer_mm)["supplied_mm"]
    return Need(PartKind.HEAT_SHRINK, f"{supplied} mm", length_m, Unit.METRE, causes, float(supplied))


@lru_cache(maxsize=512)
def terminal_spec(lands: Lands, area_mm2: float, family: FuseFamily | None = None) -> str:
    """The terminal for a wire of ``area_mm2`` [mm²] on what it lands on.

    Parameters
    ----------
    lands : Lands
        Not a splice.
    area_mm2 : float
        Nominal area of the conductor [mm²].
    family : FuseFamily or None
        Of the fuse, where the end lands on one; None = a stud.

    Returns
    -------
    str
        Terminal or stud, and range of wire sizes it takes.

    Raises
    ------
    TableError
        For an end in a splice, which has no terminal.

    Examples
    --------
    >>> terminal_spec(Lands.GROUND, 2.08)
    'ring M6, 16-14 AWG (1.5-2.5 mm²)'
    >>> terminal_spec(Lands.FUSE, 2.08, FuseFamily.BLADE)
    'female blade 6.3 mm, 16-14 AWG (1.5-2.5 mm²)'
    """
    key = f"fuse/{family or FuseFamily.NONE}" if lands is Lands.FUSE else f"{lands}/"
    terminal = _terminals(key).row(area_mm2)["terminal"]
    return f"{terminal}, {wire_range(area_mm2)}"


def wire_range(area_mm2: float) -> str:
    """The range of wire sizes that barrels are sold for, e.g. ``12-10 AWG (4-6 mm²)``.

    Examples
    --------
    >>> wire_range(8.37)
    '8 AWG (10 mm²)'
    """
    return ladder(PACKAGE, "wire_ranges.csv", "max_area_mm2").row(area_mm2)["label"]


@cache
def _terminals(key: str) -> Ladder:
    rows = tuple(row for row in rows_of(PACKAGE, "terminals.csv") if f"{row['lands']}/{row['family']}" == key)
    return Ladder(rows, "max_area_mm2", f"terminals.csv, {key}")
