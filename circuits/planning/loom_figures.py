"""What the loom page says of each run's bundle, of the weight of it all, and of other ways that circuits could take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from circuits.electrical.detours import Detour, detours
from circuits.figures import format_temperature
from circuits.harness.grommets import grommet_for
from circuits.harness.weight import LoomWeight, covered_mm, loom_weight
from circuits.planning.wire_prices import Saving, savings
from circuits.sized import Bundle, SizedPlan
from circuits.units import format_diameter, format_length, format_mass, format_percent

BEND_TIMES = 10
"""Least bend radius of a bundle over the diameter of its thickest wire (AC 43.13-1B chapter 11, from memory)."""


@dataclass(frozen=True, slots=True)
class RunFigures:
    """One run that wires lie in, as text for people; empty where there is nothing to say.

    Parameters
    ----------
    name, wires, bundle : str
    covering, over : str
        Covering with its size, and the diameter over it.
    opening, fill, grommet : str
        Opening, the bundle as a share of its diameter, and the grommet that suits.
    middle : str
        Temperature in its middle under its real loads, in its covering.
    bend : str
        Least radius it may be bent to.
    weight : str
    """

    name: str
    wires: str
    bundle: str
    covering: str
    over: str
    opening: str
    fill: str
    grommet: str
    middle: str
    bend: str
    weight: str


@dataclass(frozen=True, slots=True)
class OtherWay:
    """A circuit's other way in words, and what it saves where prices may be seen and are known."""

    circuit: str
    way: str
    words: str
    saving: Saving | None = None

    @property
    def is_dearer(self) -> bool:
        """True where it costs more."""
        return self.saving is not None and self.saving.amount < 0

    @property
    def amount(self) -> Decimal | None:
        """What it saves, or costs, without sign."""
        return abs(self.saving.amount) if self.saving is not None else None


@dataclass(frozen=True, slots=True)
class LoomFigures:
    """The loom in figures."""

    runs: tuple[RunFigures, ...]
    weights: tuple[tuple[str, str], ...]
    other_ways: tuple[OtherWay, ...]


def loom_figures(sized: SizedPlan, *, with_prices: bool = False) -> LoomFigures:
    """The loom in figures.

    Parameters
    ----------
    sized : SizedPlan
    with_prices : bool
        True where the reader may see prices.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> figures = loom_figures(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, opening_mm=19.0),), (horn,))))
    >>> figures.runs[0].grommet, figures.runs[0].fill
    ('19 mm', '13.7 %')
    """
    weight = loom_weight(sized.wiring.plan, sized.wires, sized.bundles)
    thickest = {wire.wire.name: wire.conductor.outer_mm for wire in sized.wires}
    return LoomFigures(
        tuple(_run(sized, bundle, thickest, weight) for bundle in sized.bundles if bundle.wires),
        _weights(weight),
        _other_ways(sized, with_prices=with_prices),
    )


def _run(sized: SizedPlan, bundle: Bundle, outer_mm: dict[str, float], weight: LoomWeight) -> RunFigures:
    over_mm = covered_mm(bundle.covering, bundle.diameter_mm, bundle.covering_mm)
    grommet = grommet_for(bundle.opening_mm, bundle.diameter_mm) if bundle.opening_mm else None
    is_sized = bundle.covering_mm > 0
    return RunFigures(
        name=sized.wiring.plan.runs[bundle.run].name,
        wires=str(len(bundle.wires)),
        bundle=format_diameter(bundle.diameter_mm),
        covering=f"{bundle.covering} {format_diameter(bundle.covering_mm)}" if is_sized else str(bundle.covering),
        over=format_diameter(over_mm),
        opening=format_diameter(bundle.opening_mm) if bundle.opening_mm else "",
        fill=format_percent(bundle.diameter_mm / bundle.opening_mm * 100) if bundle.opening_mm else "",
        grommet=_grommet(bundle.opening_mm, grommet.hole_mm if grommet else None),
        middle=format_temperature(bundle.middle_c) if bundle.middle_c is not None else "",
        bend=format_diameter(BEND_TIMES * max(outer_mm[name] for name in bundle.wires)),
        weight=format_mass(weight.runs[bundle.run].total_kg),
    )


def _grommet(opening_mm: float | None, hole_mm: float | None) -> str:
    if opening_mm is None:
        return ""
    if hole_mm is None:
        return "none so large"
    size = format_diameter(hole_mm)
    return size if hole_mm == opening_mm else f"{size}: open it up"


def _weights(weight: LoomWeight) -> tuple[tuple[str, str], ...]:
    parts = (
        ("copper", weight.total.copper_kg),
        ("of it new", weight.new_copper_kg),
        ("insulation", weight.total.insulation_kg),
        ("covering", weight.total.covering_kg),
        ("loom in all", weight.total.total_kg),
    )
    return tuple((name, format_mass(mass_kg)) for name, mass_kg in parts)


def _other_ways(sized: SizedPlan, *, with_prices: bool) -> tuple[OtherWay, ...]:
    found = detours(sized)
    saved = savings([(one.before, one.after) for one in found]) if with_prices else [None] * len(found)
    return tuple(
        OtherWay(detour.circuit, ", ".join(detour.places), detour_words(detour), saving)
        for detour, saving in zip(found, saved, strict=True)
    )


def detour_words(detour: Detour) -> str:
    """A detour in a few words: longer, cooler, thinner.

    Examples
    --------
    >>> detour_words(Detour("fan", ("panel", "sill", "fan"), 0.12, 45.0, is_still=True, thinner=1, before=(), after=()))
    '12 cm longer, 45 °C cooler, does not move, one size thinner'
    """
    words = [f"{_short(abs(detour.longer_m))} {'longer' if detour.longer_m >= 0 else 'shorter'}"]
    if detour.cooler_k:
        words.append(f"{abs(detour.cooler_k):.0f} °C {'cooler' if detour.cooler_k > 0 else 'hotter'}")
    if detour.is_still:
        words.append("does not move")
    words.append(_sizes(detour.thinner))
    return ", ".join(words)


def _short(length_m: float) -> str:
    return f"{length_m * 100:.0f} cm" if length_m < 1 else format_length(length_m)


def _sizes(thinner: int) -> str:
    counted: Sequence[str] = ("", "one size", "two sizes", "three sizes")
    if thinner == 0:
        return "the same size"
    steps = counted[abs(thinner)] if abs(thinner) < len(counted) else f"{abs(thinner)} sizes"
    return f"{steps} {'thinner' if thinner > 0 else 'thicker'}"
