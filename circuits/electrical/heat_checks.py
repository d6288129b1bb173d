"""The rule on heat in bundles: do the wires of a run stay within their insulation class under their real loads."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from circuits.electrical.bundle_heat import BundleHeat, Lying, bundle_heat, for_s
from circuits.electrical.conductors import copper_area_mm2, stocked_conductors
from circuits.figures import format_temperature
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.harness.routes import run_ambients_c
from circuits.plan import Duty, Plan
from circuits.rules import SizingRules
from circuits.sized import Bundle, Conductor, SizedWire
from circuits.wiring import Wire


@dataclass(frozen=True, slots=True)
class HotRun:
    """One run with what lies in it and how hot it gets.

    Parameters
    ----------
    run : int
        Index into ``plan.runs``.
    ambient_c : float
    wires : tuple of SizedWire
    lying : tuple of Lying
        The same, as loads.
    heat : BundleHeat
    """

    run: int
    ambient_c: float
    wires: tuple[SizedWire, ...]
    lying: tuple[Lying, ...]
    heat: BundleHeat


def hot_runs(plan: Plan, wires: Sequence[SizedWire], is_cranking: Callable[[Wire], bool]) -> tuple[HotRun, ...]:
    """Each run that wires lie in, under their real loads, in plan order.

    Parameters
    ----------
    plan : Plan
    wires : sequence of SizedWire
        All of the plan, those that stay in the vehicle too.
    is_cranking : callable
        True for a starter's cable.
    """
    continuous = {circuit.name: circuit.duty is Duty.CONTINUOUS for circuit in plan.circuits}
    here: defaultdict[int, list[tuple[SizedWire, Lying]]] = defaultdict(list)
    for sized in wires:
        seconds = for_s(continuous=continuous[sized.wire.circuit], cranking=is_cranking(sized.wire))
        load = Lying(sized.conductor, sized.wire.current_a, seconds)
        for run in sized.wire.path.runs:
            here[run].append((sized, load))
    ambients = run_ambients_c(plan)
    return tuple(
        HotRun(
            run,
            ambients[run],
            tuple(sized for sized, _ in here[run]),
            lying := tuple(load for _, load in here[run]),
            bundle_heat(lying, ambients[run], plan.runs[run].covering),
        )
        for run in sorted(here)
    )


def with_heat(bundles: Sequence[Bundle], runs: Sequence[HotRun]) -> tuple[Bundle, ...]:
    """The bundles with the temperature of their middles.

    Parameters
    ----------
    bundles : sequence of Bundle
    runs : sequence of HotRun
        Of the same plan.
    """
    middles = {hot.run: hot.heat.middle_c for hot in runs}
    return tuple(
        replace(bundle, middle_c=middles[bundle.run]) if bundle.run in middles else bundle for bundle in bundles
    )


def bundle_too_hot(plan: Plan, runs: Sequence[HotRun], rules: SizingRules) -> Iterator[Finding]:
    """bundle-too-hot: under its real loads a bundle is hotter than the insulation class."""
    class_c = rules.insulation_class_c
    for hot in runs:
        hottest = max(range(len(hot.wires)), key=lambda at: hot.heat.copper_c[at])
        copper_c = hot.heat.copper_c[hottest]
        if len(hot.wires) < 2 or copper_c <= class_c or hot.ambient_c >= class_c:
            continue  # one wire alone is held to its ampacity; a run too hot by itself is told by too-hot
        wire = hot.wires[hottest].wire
        figure = format_temperature(copper_c)
        yield finding(
            "bundle-too-hot",
            wire.circuit,
            f"run {plan.runs[hot.run].name}: with all its loads on, {wire.name} reaches {figure} in the middle of"
            f" {len(hot.wires)} wires",
            wire=wire.name,
            figure=figure,
            limit=format_temperature(class_c),
            cure=_cooler(plan, hot, rules),
        )


def _cooler(plan: Plan, hot: HotRun, rules: SizingRules) -> str:
    """Thicker wire for the circuit that makes most of the heat, or for the two, if that is enough."""
    made: defaultdict[str, float] = defaultdict(float)
    for sized, load in zip(hot.wires, hot.lying, strict=True):
        made[sized.wire.circuit] += load.heat20_w_per_m
    hottest_first = sorted(made, key=lambda name: -made[name])
    for count in (1, 2, 3):
        names = hottest_first[:count]
        size = _size_that_cools(plan, hot, rules, names)
        if size:
            return f"Fit {size} for {' and '.join(names)}."
    return "Move some of its circuits to another run, or part the bundle in two."


def _size_that_cools(plan: Plan, hot: HotRun, rules: SizingRules, circuits: Sequence[str]) -> str:
    def cools(size: Conductor) -> bool:
        heat = bundle_heat(_thickened(hot, size, circuits), hot.ambient_c, plan.runs[hot.run].covering)
        return max(heat.copper_c) <= rules.insulation_class_c

    stock = stocked_conductors(rules)
    if not cools(stock[-1]):
        return ""  # the thickest makes the least heat: none of the others does
    return next(size.label for size in stock if cools(size))


def _thickened(hot: HotRun, size: Conductor, circuits: Sequence[str]) -> list[Lying]:
    return [
        replace(load, size=max(size, load.size, key=copper_area_mm2)) if sized.wire.circuit in circuits else load
        for sized, load in zip(hot.wires, hot.lying, strict=True)
    ]
