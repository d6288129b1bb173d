"""Estimated minutes of each package, and the forecast at completion. Pure: from estimate and ticks, nobody's guess."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from circuits.harness.order import WHOLE_VEHICLE, PackageKey, WorkStage
from estimating.labour.hours import ElementCount, Spread
from estimating.labour.minutes import Element, MinutesTable
from estimating.labour.spread import Moments, spread

PRESS_SD_MIN = 15.0
"""How far presses and ticks of one package may lie from the work itself [min] (common practice, no source)."""

STAGE_OF: dict[str, WorkStage] = {
    Element.SURVEY: WorkStage.STRIP_OUT,
    Element.REMOVE_CIRCUIT: WorkStage.STRIP_OUT,
    Element.REMOVE_WIRE: WorkStage.STRIP_OUT,
    Element.CAP_OFF: WorkStage.STRIP_OUT,
    Element.FIT_PANEL: WorkStage.PANEL,
    Element.PANEL_POSITION: WorkStage.PANEL,
    Element.FUSE_HOLDER: WorkStage.PANEL,
    Element.RELAY: WorkStage.PANEL,
    Element.CUT_AND_STRIP: WorkStage.PULL,
    Element.LABEL: WorkStage.PULL,
    Element.PULL_EASY: WorkStage.PULL,
    Element.PULL_NORMAL: WorkStage.PULL,
    Element.PULL_TIGHT: WorkStage.PULL,
    Element.GROMMET: WorkStage.PULL,
    Element.CRIMP_SMALL: WorkStage.TERMINATE,
    Element.CRIMP_LARGE: WorkStage.TERMINATE,
    Element.LAND: WorkStage.TERMINATE,
    Element.CONNECTOR: WorkStage.TERMINATE,
    Element.SPLICE: WorkStage.TERMINATE,
    Element.REPAIR: WorkStage.TERMINATE,
    Element.CHECK_KEPT: WorkStage.PROVE,
    Element.TEST: WorkStage.PROVE,
    Element.FAULT_FINDING: WorkStage.PROVE,
    Element.PROVING: WorkStage.PROVE,
    Element.COVERING: WorkStage.COVER,
    Element.CLIP: WorkStage.REFIT,
}
"""Stage in which each work element is done."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """Minutes of one package by circuit (the empty name: what no one circuit asks for), and their variance [min²]."""

    minutes: dict[str, float]
    variance_min2: float


def estimates(
    counts: Iterable[ElementCount],
    table: MinutesTable,
    section_of: Mapping[str, str],
    packages: Mapping[PackageKey, tuple[str, ...]],
) -> dict[PackageKey, Estimate]:
    """Minutes of each package. Nothing is lost: together they make the whole estimate.

    Parameters
    ----------
    counts : iterable of ElementCount
    table : MinutesTable
    section_of : mapping of str to str
        Section of each circuit.
    packages : mapping of PackageKey to tuple of str
        Packages there are, with their circuits. An element counts equally for each circuit that caused it; what finds
        no package of its own goes to the same stage of the whole vehicle, else to the first package.
    """
    minutes: dict[PackageKey, dict[str, float]] = {key: {} for key in packages}
    variance: dict[PackageKey, float] = dict.fromkeys(packages, 0.0)
    for row in counts:
        point, stage = table.minutes(row.element), STAGE_OF[row.element]
        names = row.circuits or ("",)
        for name in names:
            key = _home(stage, name, section_of, packages)
            if key is not None:
                share = row.count / len(names)
                under = name if name in packages[key] else ""
                minutes[key][under] = minutes[key].get(under, 0.0) + share * point.mean_min
                variance[key] += share * point.sd_min**2
    return {key: Estimate(minutes[key], variance[key]) for key in packages}


def _home(
    stage: WorkStage, circuit: str, section_of: Mapping[str, str], packages: Mapping[PackageKey, tuple[str, ...]]
) -> PackageKey | None:
    for section in (section_of.get(circuit, WHOLE_VEHICLE), WHOLE_VEHICLE):
        if (key := PackageKey(stage, section)) in packages:
            return key
    same = [key for key in packages if key.stage is stage]
    return next(iter(same or packages), None)


@dataclass(frozen=True, slots=True)
class Standing:
    """One package as it stands.

    Parameters
    ----------
    estimate_min : float
    variance_min2 : float
    earned_min : float
        Estimated minutes of what is ticked.
    booked_min : float
    is_done : bool
    """

    estimate_min: float
    variance_min2: float
    earned_min: float
    booked_min: float
    is_done: bool


@dataclass(frozen=True, slots=True)
class Forecast:
    """Hours at completion.

    Parameters
    ----------
    estimate_h, earned_h, booked_h : float
        Estimated, estimated for what is ticked, and booked until now.
    pace : float
        Hours this vehicle takes for each hour estimated; 1 until ticks and bookings say otherwise.
    total : Spread
        Booked and what is left to do, together.
    """

    estimate_h: float
    earned_h: float
    booked_h: float
    pace: float
    total: Spread


def forecast(standings: Iterable[Standing], condition_cv: float) -> Forecast:
    """Hours at completion.

    One factor multiplies all work on one vehicle (``estimating.labour.spread``). Before any work it is 1 with the
    coefficient of variation of the vehicle's condition, ``c``; the packages with ticks, estimated ``E`` and booked
    ``B`` with variance ``v``, move it as in the linear Gaussian model::

        pace = (1/c² + B·E/v) / (1/c² + E²/v)

    What is left is done at that pace. Hours booked to a package without a tick count against its own estimate alone:
    nobody knows yet how far it is.

    Parameters
    ----------
    standings : iterable of Standing
    condition_cv : float

    Examples
    --------
    >>> fresh = [Standing(600.0, 400.0, 0.0, 0.0, False)]
    >>> round(forecast(fresh, 0.15).total.mean_h, 2)
    10.0
    >>> slow = [Standing(300.0, 200.0, 300.0, 390.0, True), Standing(300.0, 200.0, 0.0, 0.0, False)]
    >>> told = forecast(slow, 0.15)
    >>> round(told.pace, 2), round(told.total.mean_h, 1)
    (1.25, 12.7)
    """
    rows = tuple(standings)
    told = [row for row in rows if row.earned_min > 0]
    pace, pace_variance = _pace(told, condition_cv)
    left_mean = math.fsum(_left(row, pace) for row in rows)
    left_variance = math.fsum(row.variance_min2 * _share_left(row) for row in rows) * pace**2
    booked = math.fsum(row.booked_min for row in rows)
    left = spread(Moments(left_mean, left_variance), math.sqrt(pace_variance) / pace)
    hours = booked / 60
    total = Spread(hours + left.mean_h, left.sd_h, hours + left.p50_h, hours + left.p80_h, hours + left.p90_h)
    return Forecast(
        math.fsum(row.estimate_min for row in rows) / 60,
        math.fsum(row.earned_min for row in rows) / 60,
        hours,
        pace,
        total,
    )


def _pace(told: list[Standing], condition_cv: float) -> tuple[float, float]:
    if condition_cv <= 0 or not told:
        return 1.0, condition_cv**2
    earned = math.fsum(row.earned_min for row in told)
    booked = math.fsum(row.booked_min for row in told)
    variance = math.fsum(row.variance_min2 * (1 - _share_left(row)) + PRESS_SD_MIN**2 for row in told)
    precision = 1 / condition_cv**2 + earned**2 / variance
    return (1 / condition_cv**2 + booked * earned / variance) / precision, 1 / precision


def _share_left(row: Standing) -> float:
    if row.is_done or row.estimate_min <= 0:
        return 0.0
    return 1 - min(1.0, row.earned_min / row.estimate_min)


def _left(row: Standing, pace: float) -> float:
    """Minutes still to be worked on a package."""
    if row.is_done:
        return 0.0
    if row.earned_min > 0:
        return pace * row.estimate_min * _share_left(row)
    return max(0.0, pace * row.estimate_min - row.booked_min)
