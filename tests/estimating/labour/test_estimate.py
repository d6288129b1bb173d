"""Hours add up, follow the minutes, and know the vehicle's condition."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.errors import PlanError, TableError
from estimating.labour.condition import conditions, pull_element
from estimating.labour.estimate import estimate_hours, hours_of
from estimating.labour.hours import ElementCount, ThreePoint
from estimating.labour.minutes import DEFAULT_MINUTES, Element, MinutesTable
from estimating.takeoff.example import example_sized_plan
from estimating.takeoff.tables import rows_of

SECTIONS = ["front", "dash", "rear"]
COUNTS = st.lists(
    st.builds(
        ElementCount,
        element=st.sampled_from([str(element) for element in Element]),
        section=st.sampled_from(SECTIONS),
        count=st.floats(0.01, 500),
        circuits=st.just(()),
    ),
    max_size=40,
)


@given(COUNTS, st.floats(0, 1))
def test_elements_and_sections_add_up_to_the_mean(counts, cv):
    hours = hours_of(counts, DEFAULT_MINUTES, cv, SECTIONS)
    assert math.fsum(row.mean_min for row in hours.elements) / 60 == pytest.approx(hours.total.mean_h, rel=1e-12)
    assert math.fsum(one.mean_h for _, one in hours.sections) == pytest.approx(hours.total.mean_h, rel=1e-12)


@given(COUNTS)
def test_work_added_never_shortens_the_job(counts):
    less = hours_of(counts[1:], DEFAULT_MINUTES, 0.15, SECTIONS).total
    more = hours_of(counts, DEFAULT_MINUTES, 0.15, SECTIONS).total
    assert more.mean_h >= less.mean_h


def test_a_worse_vehicle_spreads_more_around_the_same_mean():
    hours = [estimate_hours(example_sized_plan(), condition_cv=condition.cv).total for condition in conditions()]
    assert len({round(one.mean_h, 9) for one in hours}) == 1
    assert [one.p80_h for one in hours] == sorted(one.p80_h for one in hours)


def test_twice_the_minutes_are_twice_the_hours():
    twice = DEFAULT_MINUTES.with_minutes(
        {
            row.element: ThreePoint(
                2 * row.minutes.optimistic_min, 2 * row.minutes.likely_min, 2 * row.minutes.pessimistic_min
            )
            for row in DEFAULT_MINUTES.rows
        }
    )
    single, double = (estimate_hours(example_sized_plan(), table).total for table in (DEFAULT_MINUTES, twice))
    assert double.p80_h == pytest.approx(2 * single.p80_h)


@pytest.mark.parametrize("cv", [-0.1, 1.01, float("nan")])
def test_a_condition_out_of_range_is_refused(cv):
    with pytest.raises(PlanError, match="coefficient of variation"):
        estimate_hours(example_sized_plan(), condition_cv=cv)


def test_a_table_must_hold_every_element():
    with pytest.raises(TableError, match="first power and proving"):
        MinutesTable(DEFAULT_MINUTES.rows[:-1])


def test_minutes_of_an_unknown_element_are_refused_by_name():
    with pytest.raises(TableError, match="polish"):
        DEFAULT_MINUTES.with_minutes({"polish": ThreePoint(1, 2, 3)})


def test_minutes_the_shop_changed_say_so():
    changed = DEFAULT_MINUTES.with_minutes({"splice": ThreePoint(1, 2, 3), "clip": DEFAULT_MINUTES.minutes("clip")})
    assert changed.row("splice").source == "the shop's own"
    assert changed.row("clip").source == DEFAULT_MINUTES.row("clip").source


def test_every_table_row_says_where_it_is_from():
    for name in ("minutes.csv", "access.csv", "conditions.csv"):
        assert all(row["source"] for row in rows_of("estimating.labour", name))


def test_a_zone_is_found_whatever_its_capitals():
    assert pull_element(" Engine Bay ") is Element.PULL_EASY
