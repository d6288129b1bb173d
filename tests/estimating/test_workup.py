"""A plan worked up whole: what the cores promise each other holds on real plans."""

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.plan import Disposition, Plan, Vehicle
from circuits.rules import BuildRules, Series, SizingRules
from circuits.sheets import STARTERS, load_starter
from estimating.pricing.quote import LineClass, Terms
from estimating.rules import ShopRules
from estimating.takeoff.parts import PartKind
from estimating.takeoff.rules import TakeoffRules
from estimating.workup import work_up
from tests.bench.made_plan import PULLED, made_plan

PLANS = st.builds(made_plan, st.integers(0, 25), st.integers(1, 10_000))
METRIC = ShopRules(build=BuildRules(sizing=SizingRules(series=Series.MM2)))


@settings(max_examples=40)
@given(PLANS, st.sampled_from([ShopRules(), METRIC]))
def test_metres_taken_off_are_the_sum_over_the_new_wires(plan, rules):
    worked = work_up(plan, rules)
    new = [wire.wire.length_m for wire in worked.sized.wires if not wire.wire.is_existing]
    metres = [part.quantity for part in worked.parts if part.kind is PartKind.WIRE]
    assert math.fsum(metres) == pytest.approx(math.fsum(new), rel=1e-12)


@settings(max_examples=40)
@given(PLANS, st.sampled_from([ShopRules(), METRIC]))
def test_every_part_of_any_plan_has_a_price_in_the_example_book(plan, rules):
    assert work_up(plan, rules).quote.unpriced == ()


@settings(max_examples=40)
@given(PLANS)
def test_every_circuit_a_part_names_is_in_the_plan(plan):
    names = {circuit.name for circuit in plan.circuits}
    for part in work_up(plan).parts:
        assert set(part.circuits) <= names


@settings(max_examples=20)
@given(PLANS)
def test_the_same_plan_gives_the_same_work_up(plan):
    assert work_up(plan) == work_up(replace(plan))


@settings(max_examples=20)
@given(PLANS)
def test_new_wires_have_as_many_fuses_as_the_plan_and_spares_besides(plan):
    worked = work_up(plan, ShopRules(takeoff=TakeoffRules(spare_fuses=0)))
    renewed = {c.name for c in plan.circuits if c.disposition in (*PULLED, Disposition.REPAIR)}
    expected = sum(fuse.circuit in renewed for fuse in worked.sized.fuses)
    assert sum(part.quantity for part in worked.parts if part.kind is PartKind.FUSE) == expected


@pytest.mark.parametrize("key", STARTERS)
def test_a_starter_plan_comes_to_a_quote_that_can_be_sent(key):
    worked = work_up(load_starter(key))
    assert worked.quote.unpriced == ()
    assert worked.quote.total > 0
    assert 5 < worked.hours.total.mean_h < 200  # hours of a rewire, not minutes and not a year


def test_an_empty_plan_costs_nothing():
    worked = work_up(Plan(Vehicle(), (), (), ()))
    assert worked.parts == ()
    assert worked.hours.total.mean_h == 0
    assert worked.quote.total == Decimal("0.00")


def test_a_plan_that_keeps_everything_needs_no_parts():
    worked = work_up(made_plan(20, dispositions=(Disposition.KEEP,)))
    assert worked.parts == ()
    assert worked.hours.total.mean_h > 0


def test_a_higher_rate_raises_labour_alone():
    plan = made_plan(10)
    usual, dearer = (work_up(plan, ShopRules(terms=Terms(rate_per_h=Decimal(rate)))).quote for rate in (75, 150))

    def by_class(quote, is_labour):
        return sum(line.net for line in quote.lines if (line.line_class is LineClass.LABOUR) == is_labour)

    assert by_class(dearer, True) == 2 * by_class(usual, True)
    assert by_class(dearer, False) == by_class(usual, False)


def test_more_slack_takes_more_wire():
    plan = made_plan(10)
    rules = ShopRules()
    slack = replace(rules, build=replace(rules.build, lengths=replace(rules.build.lengths, slack_ratio=0.5)))
    metres = [
        math.fsum(part.quantity for part in work_up(plan, one).parts if part.kind is PartKind.WIRE)
        for one in (rules, slack)
    ]
    assert metres[1] > metres[0]
