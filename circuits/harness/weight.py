"""What a loom weighs: copper, insulation and covering, run by run and in all."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from circuits.plan import Covering, Plan
from circuits.sized import Bundle, Conductor, SizedWire

COPPER_KG_PER_M3 = 8890.0
"""Density of copper (material constants, from memory)."""

INSULATION_KG_PER_M3 = 1350.0
"""Density of PVC and of cross-linked insulation with its fillers (common practice, from memory)."""

STRAND_FILL = 0.78
"""Copper in the circle around its strands: seven of them, the best packing of equal circles."""


@dataclass(frozen=True, slots=True)
class Weight:
    """What something weighs, by what it is made of [kg]."""

    copper_kg: float = 0.0
    insulation_kg: float = 0.0
    covering_kg: float = 0.0

    @property
    def total_kg(self) -> float:
        """All of it [kg]."""
        return self.copper_kg + self.insulation_kg + self.covering_kg


@dataclass(frozen=True, slots=True)
class LoomWeight:
    """A loom weighed.

    Parameters
    ----------
    runs : tuple of Weight
        Of each run, in plan order: what lies in it over its own length, no slack.
    total : Weight
        Of all wires at their cut length, and of all coverings.
    new_copper_kg : float
        Copper of the wires that are cut for the job.
    """

    runs: tuple[Weight, ...]
    total: Weight
    new_copper_kg: float


def _read_builds() -> dict[Covering, tuple[float, float]]:
    """Wall [mm] and mass of its volume [kg/m³] by covering."""
    with Path(__file__).with_name("covering_build.csv").open(encoding="utf-8", newline="") as file:
        return {
            Covering(row["covering"]): (
                float(row["wall_mm"]),
                float(row["solid_share"]) * float(row["density_kg_per_m3"]),
            )
            for row in csv.DictReader(file)
        }


_BUILDS = _read_builds()


def wire_kg_per_m(conductor: Conductor) -> tuple[float, float]:
    """Copper and insulation of a metre of wire [kg/m].

    Parameters
    ----------
    conductor : Conductor

    Examples
    --------
    >>> copper, insulation = wire_kg_per_m(Conductor("2.5 mm²", 2.5, 0.0076, 3.0, ""))
    >>> round(copper * 1000, 1), round(insulation * 1000, 1)
    (22.2, 5.2)
    """
    copper_m2 = conductor.area_mm2 * 1e-6
    insulation_m2 = max(0.0, math.pi / 4 * (conductor.outer_mm * 1e-3) ** 2 - copper_m2 / STRAND_FILL)
    return copper_m2 * COPPER_KG_PER_M3, insulation_m2 * INSULATION_KG_PER_M3


def covered_mm(covering: Covering, bundle_mm: float, nominal_mm: float) -> float:
    """Diameter over a bundle with its covering [mm].

    Parameters
    ----------
    covering : Covering
    bundle_mm : float
        Over its wires, 0 or more [mm].
    nominal_mm : float
        Size of the covering, its inner diameter; 0 for tape and none [mm].

    Examples
    --------
    >>> covered_mm(Covering.SPLIT_LOOM, 6.4, 7.5), covered_mm(Covering.NONE, 6.4, 0.0)
    (9.9, 6.4)
    """
    if bundle_mm <= 0 or covering not in _BUILDS:
        return bundle_mm
    wall_mm, _ = _BUILDS[covering]
    inner_mm = nominal_mm if covering is not Covering.BRAID else 0.0  # braid opens to the bundle
    return max(bundle_mm, inner_mm) + 2 * wall_mm


def covering_kg_per_m(covering: Covering, bundle_mm: float, nominal_mm: float) -> float:
    """A metre of covering [kg/m]; 0 where there is none.

    Parameters
    ----------
    covering : Covering
    bundle_mm, nominal_mm : float
        As for ``covered_mm``.

    Examples
    --------
    >>> round(covering_kg_per_m(Covering.SPLIT_LOOM, 6.4, 7.5) * 1000, 1)
    16.4
    """
    if bundle_mm <= 0 or covering not in _BUILDS:
        return 0.0
    wall_mm, kg_per_m3 = _BUILDS[covering]
    outer_mm = covered_mm(covering, bundle_mm, nominal_mm)
    return math.pi * (outer_mm - wall_mm) * wall_mm * 1e-6 * kg_per_m3


def loom_weight(plan: Plan, wires: Sequence[SizedWire], bundles: Iterable[Bundle]) -> LoomWeight:
    """Weigh a loom.

    Parameters
    ----------
    plan : Plan
    wires : sequence of SizedWire
        All of the plan.
    bundles : iterable of Bundle
        As ``circuits.harness.bundles.bundles`` gives them for it.
    """
    copper = [0.0] * len(plan.runs)
    insulation = [0.0] * len(plan.runs)
    all_copper = all_insulation = new_copper = 0.0
    for sized in wires:
        copper_kg, insulation_kg = wire_kg_per_m(sized.conductor)
        for run in sized.wire.path.runs:
            copper[run] += copper_kg * plan.runs[run].length_m
            insulation[run] += insulation_kg * plan.runs[run].length_m
        all_copper += copper_kg * sized.wire.length_m
        all_insulation += insulation_kg * sized.wire.length_m
        new_copper += 0.0 if sized.wire.is_existing else copper_kg * sized.wire.length_m
    covering = [
        covering_kg_per_m(bundle.covering, bundle.diameter_mm, bundle.covering_mm) * bundle.length_m
        for bundle in bundles
    ]
    return LoomWeight(
        tuple(Weight(*one) for one in zip(copper, insulation, covering, strict=True)),
        Weight(all_copper, all_insulation, sum(covering)),
        new_copper,
    )
