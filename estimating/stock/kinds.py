"""How a part of the take-off is kept and bought: in which measure, under which key, as which wire."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, Decimal

from circuits.electrical.conductors import conductor
from circuits.errors import TableError
from estimating.buying.kinds import Kind, Measure
from estimating.takeoff.parts import PartKind
from estimating.takeoff.wires import ANY_COLOUR

LENGTHS = frozenset({PartKind.COVERING, PartKind.TAPE, PartKind.HEAT_SHRINK})
"""Kinds sold by length of which several ends may make up what is needed."""

MM_PER_M = 1000


def measure_of(kind: PartKind | str) -> Measure:
    """How a kind of part is measured out.

    Examples
    --------
    >>> measure_of(PartKind.WIRE), measure_of(PartKind.TAPE), measure_of(PartKind.FUSE)
    (<Measure.CUTS: 'cuts'>, <Measure.METRES: 'metres'>, <Measure.PARTS: 'parts'>)
    """
    if kind in (PartKind.WIRE, PartKind.REPAIR_LENGTH):
        return Measure.CUTS
    return Measure.METRES if kind in LENGTHS else Measure.PARTS


def kind_key(kind: PartKind | str, spec: str, insulation_c: int = 0) -> str:
    """The key under which stock, offers and needs meet. A wire's names the temperature class of its insulation.

    A repair length is cut from the same wire as any other.

    Examples
    --------
    >>> kind_key("wire", "14 AWG RD", 125), kind_key("repair length", "14 AWG RD", 125), kind_key("fuse", "blade 15 A")
    ('wire 14 AWG RD, 125 °C', 'wire 14 AWG RD, 125 °C', 'fuse blade 15 A')
    """
    if measure_of(kind) is Measure.CUTS:
        return f"{PartKind.WIRE} {spec}, {insulation_c} °C"
    return f"{kind} {spec}"


def buying_kind(kind: PartKind | str, spec: str, insulation_c: int = 0) -> Kind:
    """The kind as buying knows it.

    Raises
    ------
    circuits.errors.TableError
        For a wire whose spec does not begin with a known size.

    Examples
    --------
    >>> wire = buying_kind("wire", "14 AWG RD/BK", 125)
    >>> wire.area_mm2, wire.colour, wire.insulation_c
    (2.0809, 'RD/BK', 125.0)
    """
    measure = measure_of(kind)
    key = kind_key(kind, spec, insulation_c)
    if measure is not Measure.CUTS:
        return Kind(key, measure)
    size, colour = wire_words(spec)
    return Kind(key, measure, conductor(size).area_mm2, float(insulation_c), colour)


def wire_words(spec: str) -> tuple[str, str]:
    """Size and colour of a wire's spec; colour empty where any will do.

    Raises
    ------
    circuits.errors.TableError
        Where the spec does not begin with a size.

    Examples
    --------
    >>> wire_words("2.5 mm² GN"), wire_words("14 AWG any colour")
    (('2.5 mm²', 'GN'), ('14 AWG', ''))
    """
    words = spec.split(maxsplit=2)
    if len(words) < 2:
        raise TableError(f"a wire is written as size and colour, e.g. 14 AWG RD/BK, got {spec!r}")
    size, colour = " ".join(words[:2]), words[2] if len(words) > 2 else ""
    conductor(size)
    return size, "" if colour == ANY_COLOUR else colour


def whole(measure: Measure, quantity: Decimal | float) -> int:
    """Pieces or millimetres, a part of one counted as one.

    Examples
    --------
    >>> whole(Measure.CUTS, Decimal("2.3001")), whole(Measure.PARTS, 3.0)
    (2301, 3)
    """
    exact = quantity if isinstance(quantity, Decimal) else Decimal(repr(quantity))
    scaled = exact if measure is Measure.PARTS else exact * MM_PER_M
    return int(scaled.to_integral_value(ROUND_CEILING))


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """Sorts words with numbers in them as people do.

    Examples
    --------
    >>> sorted(["fuse 10 A", "fuse 7.5 A", "fuse 2 A"], key=natural)
    ['fuse 2 A', 'fuse 7.5 A', 'fuse 10 A']
    """
    return tuple((part.isdigit(), int(part) if part.isdigit() else 0, part) for part in re.split(r"(\d+)", text))


def in_words(measure: Measure | str, amount: int) -> str:
    """An amount as people read it.

    Examples
    --------
    >>> in_words(Measure.CUTS, 2300), in_words(Measure.PARTS, 4), in_words(Measure.METRES, -50)
    ('2.30 m', '4 pc', '-0.05 m')
    """
    if measure == Measure.PARTS:
        return f"{amount} pc"
    metres = Decimal(amount) / MM_PER_M
    return f"{metres:.2f} m" if amount % 10 == 0 else f"{metres:.3f} m"
