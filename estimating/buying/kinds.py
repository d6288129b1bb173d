"""Kinds of material, and what may stand for what."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum

from circuits.errors import LoomwrightError
from estimating.takeoff.wires import wire_range


class BuyingError(LoomwrightError, ValueError):
    """Needs, stock or offers that make no sense: names the thing, the value found and what is expected."""


class Measure(StrEnum):
    """How a kind is measured out."""

    CUTS = "cuts"  # lengths, each one piece, e.g. wire
    METRES = "metres"  # lengths that may be made up of several ends, e.g. tape
    PARTS = "parts"  # counted


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of material: what is interchangeable without a thought.

    Parameters
    ----------
    key : str
        Unique, e.g. ``wire 14 AWG RD/BK``.
    measure : Measure
    area_mm2 : float or None
        Of a wire [mm²], above 0; None for anything else.
    insulation_c : float or None
        Temperature class of a wire's insulation [°C].
    colour : str
        IEC 60757 letters of a wire; empty where it has none.

    Raises
    ------
    BuyingError
        For an empty key, or an area that is not above 0.
    """

    key: str
    measure: Measure = Measure.PARTS
    area_mm2: float | None = None
    insulation_c: float | None = None
    colour: str = ""

    def __post_init__(self) -> None:
        if not self.key.strip():
            raise BuyingError("a kind needs a key, got an empty one")
        if self.area_mm2 is not None and not (math.isfinite(self.area_mm2) and self.area_mm2 > 0):
            raise BuyingError(f"{self.key}: area must be above 0 mm², got {self.area_mm2}")


@dataclass(frozen=True, slots=True)
class SubstituteRule:
    """What a shop lets stand for what. Without any entry nothing stands for anything else.

    Whatever is entered here, a wire never gets thinner and its insulation never a lower temperature class.

    Parameters
    ----------
    colours : frozenset of (str, str)
        Pairs (wanted colour, colour that may be used instead).
    is_thicker_allowed : bool
        Whether a wire of the wanted colour may be thicker, or a metric size stand for a gauge.
    max_area_ratio : float
        Greatest area over the wanted one.
    must_fit_terminal : bool
        Whether the thicker wire must lie in the same range of sizes that terminal barrels are sold for.
    pairs : frozenset of (str, str)
        Pairs of keys (wanted, used instead) that the shop has looked at one by one; the only way for parts
        other than wire.
    """

    colours: frozenset[tuple[str, str]] = field(default_factory=frozenset)
    is_thicker_allowed: bool = False
    max_area_ratio: float = 1.7
    must_fit_terminal: bool = True
    pairs: frozenset[tuple[str, str]] = field(default_factory=frozenset)

    def __post_init__(self) -> None:
        if not self.max_area_ratio >= 1:
            raise BuyingError(f"greatest area ratio must be 1 or more, got {self.max_area_ratio}")


def why_unfit(given: Kind, wanted: Kind, rule: SubstituteRule) -> str:
    """Why one kind may not stand for another; empty where it may.

    Parameters
    ----------
    given, wanted : Kind
        What is there, and what is asked for.
    rule : SubstituteRule

    Returns
    -------
    str

    Notes
    -----
    Never thinner and never a lower temperature class: the sizing rests on both. A thicker wire makes the bundle
    thicker too; the limit on the ratio keeps that small (common practice, no source).

    Examples
    --------
    >>> gauge = Kind("wire 14 AWG RD", Measure.CUTS, 2.08, 125, "RD")
    >>> metric = Kind("wire 2.5 mm² RD", Measure.CUTS, 2.5, 125, "RD")
    >>> why_unfit(metric, gauge, SubstituteRule(is_thicker_allowed=True))
    ''
    >>> why_unfit(gauge, metric, SubstituteRule(is_thicker_allowed=True))
    'thinner: 2.08 mm² for 2.5 mm²'
    """
    if given.key == wanted.key:
        return ""
    if given.measure is not wanted.measure or (given.area_mm2 is None) != (wanted.area_mm2 is None):
        return "another sort of thing"
    if wanted.area_mm2 is None or given.area_mm2 is None:
        return "" if (wanted.key, given.key) in rule.pairs else "not on the shop's list"
    if given.area_mm2 < wanted.area_mm2:
        return f"thinner: {given.area_mm2:g} mm² for {wanted.area_mm2:g} mm²"
    if (given.insulation_c or 0.0) < (wanted.insulation_c or 0.0):
        return f"lower temperature class: {given.insulation_c or 0:g} °C for {wanted.insulation_c:g} °C"
    if (wanted.key, given.key) in rule.pairs:
        return ""
    return _why_not_by_rule(given, wanted, rule)


def _why_not_by_rule(given: Kind, wanted: Kind, rule: SubstituteRule) -> str:
    if given.colour != wanted.colour and (wanted.colour, given.colour) not in rule.colours:
        return f"colour {given.colour or 'none'} is not allowed for {wanted.colour or 'none'}"
    assert given.area_mm2 is not None
    assert wanted.area_mm2 is not None
    if given.area_mm2 == wanted.area_mm2:
        return ""
    if not rule.is_thicker_allowed:
        return "thicker sizes are not allowed"
    if given.area_mm2 > wanted.area_mm2 * rule.max_area_ratio:
        return f"more than {rule.max_area_ratio:g} times as thick"
    if rule.must_fit_terminal and wire_range(given.area_mm2) != wire_range(wanted.area_mm2):
        return "does not fit the same terminals"
    return ""
