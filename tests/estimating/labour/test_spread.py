"""The closed form against published PERT examples and against simulation."""

import csv
import itertools
import math
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.errors import PlanError
from estimating.labour.estimate import hours_of
from estimating.labour.hours import ElementCount, ThreePoint
from estimating.labour.minutes import DEFAULT_MINUTES, Element
from estimating.labour.spread import Z80, Z90, Moments, spread

REFERENCE = Path(__file__).parents[2] / "reference"

SIMULATION_TOLERANCE = 0.015
"""Closed form against simulated percentiles, relative."""


def rows(name):
    with (REFERENCE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


ACTIVITIES = rows("pert_activities.csv")
PATHS = [row for row in rows("pert_paths.csv") if row["example"] != "C"]  # C does not print its other activities


def three_point(row):
    return ThreePoint(float(row["optimistic"]), float(row["most_likely"]), float(row["pessimistic"]))


@pytest.mark.parametrize("row", ACTIVITIES, ids=lambda row: f"{row['example']} {row['activity']}")
def test_mean_and_variance_of_an_element_are_those_of_published_examples(row):
    """Course examples of PERT, each with its address in tests/reference/pert_activities.csv (D from memory)."""
    point = three_point(row)
    assert point.mean_min == pytest.approx(float(row["expected"]), abs=1e-6)
    assert point.sd_min**2 == pytest.approx(float(row["variance"]), abs=1e-6)


@pytest.mark.parametrize("row", PATHS, ids=lambda row: f"{row['example']} {row['path']}")
def test_means_and_variances_of_a_published_path_add_up(row):
    """Paths of the same examples; B prints 73 as it rounds its last activity from 29.667 to 30."""
    by_name = {one["activity"]: three_point(one) for one in ACTIVITIES if one["example"] == row["example"]}
    stops = row["path"].split("-")
    names = ["-".join(pair) for pair in itertools.pairwise(stops)] if stops[0].isdigit() else stops
    points = [by_name[name] for name in names]
    assert sum(point.mean_min for point in points) == pytest.approx(float(row["expected_total"]), abs=0.34)
    if row["variance_total"]:
        variance = sum(point.sd_min**2 for point in points)
        assert variance == pytest.approx(float(row["variance_total"]), abs=1e-6)
        assert math.sqrt(variance) == pytest.approx(float(row["sd_total"]), abs=1e-6)


def test_quantiles_are_those_of_the_normal_distribution():
    assert NormalDist().inv_cdf(0.8) == pytest.approx(Z80, abs=1e-9)
    assert NormalDist().inv_cdf(0.9) == pytest.approx(Z90, abs=1e-9)


@given(st.floats(0.1, 1e5), st.floats(0, 1e6), st.floats(0, 1))
def test_moments_of_the_spread_are_those_of_the_product(mean_min, variance, cv):
    """Product of independent variables (Goodman 1960): E = μ, E² + Var = (σ² + μ²)(1 + c²)."""
    hours = spread(Moments(mean_min, variance), cv)
    assert hours.mean_h == pytest.approx(mean_min / 60)
    second = (hours.sd_h**2 + hours.mean_h**2) * 3600
    assert second == pytest.approx((variance + mean_min**2) * (1 + cv**2), rel=1e-9)


@given(st.floats(0.1, 1e5), st.floats(0, 1e4), st.floats(0.01, 1))
def test_percentiles_rise_and_the_median_lies_below_the_mean(mean_min, variance, cv):
    hours = spread(Moments(mean_min, variance), cv)
    assert hours.p50_h < hours.mean_h
    assert hours.p50_h < hours.p80_h < hours.p90_h


def test_no_work_takes_no_time():
    assert spread(Moments(0.0, 0.0), 0.15).p90_h == 0


def test_certain_work_on_a_certain_vehicle_has_no_spread():
    hours = spread(Moments(60.0, 0.0), 0.0)
    assert hours.p50_h == hours.p80_h == hours.p90_h == hours.mean_h == 1.0


@given(st.floats(0.01, 0.5))
def test_the_spread_does_not_vanish_by_summing(cv):
    """With ever more independent work the relative spread falls to that of the vehicle, not to nothing."""
    many = spread(Moments(1e6, 1e6), cv)
    assert many.sd_h / many.mean_h == pytest.approx(cv, rel=0.01)


JOB = {
    Element.REMOVE_CIRCUIT: 40,
    Element.CUT_AND_STRIP: 320,
    Element.CRIMP_SMALL: 280,
    Element.PULL_NORMAL: 300,
    Element.FAULT_FINDING: 40,
    Element.SURVEY: 1,
    Element.PROVING: 1,
}
SMALL_JOB = {Element.REMOVE_CIRCUIT: 2, Element.CUT_AND_STRIP: 8, Element.CRIMP_SMALL: 8, Element.TEST: 2}


def simulated(job, cv, draws=60_000):
    """Hours by drawing each unit from a beta-PERT (shape 4) and multiplying by a lognormal for the vehicle."""
    random = np.random.default_rng(20260401)
    minutes = np.zeros(draws)
    for element, count in job.items():
        point = DEFAULT_MINUTES.minutes(element)
        low, likely, high = point.optimistic_min, point.likely_min, point.pessimistic_min
        a, b = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
        for _ in range(count):
            minutes += low + (high - low) * random.beta(a, b, draws)
    sigma = math.sqrt(math.log1p(cv**2))
    return minutes * random.lognormal(-(sigma**2) / 2, sigma, draws) / 60


@pytest.mark.parametrize("cv", [0.10, 0.15, 0.25])
@pytest.mark.parametrize("job", [JOB, SMALL_JOB], ids=["whole loom", "two circuits"])
def test_percentiles_agree_with_simulation(job, cv):
    draws = simulated(job, cv, 60_000 if job is SMALL_JOB else 20_000)
    counts = [ElementCount(str(element), "rear", count, ()) for element, count in job.items()]
    hours = hours_of(counts, DEFAULT_MINUTES, cv, ["rear"])
    for name, figure in (("p50_h", 0.5), ("p80_h", 0.8), ("p90_h", 0.9)):
        assert getattr(hours.total, name) == pytest.approx(np.quantile(draws, figure), rel=SIMULATION_TOLERANCE)
    assert hours.total.mean_h == pytest.approx(draws.mean(), rel=0.01)


@pytest.mark.parametrize("points", [(3, 2, 5), (-1, 2, 5), (1, 2, float("nan")), (1, 2, float("inf")), (1, 5, 4)])
def test_minutes_must_rise_from_optimistic_to_pessimistic(points):
    with pytest.raises(PlanError, match="rise"):
        ThreePoint(*points)
