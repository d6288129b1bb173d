"""How far a fuse is loaded: in the heat, and at switch-on."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.fuse_loading import (
    ambient_share,
    fuse_ambients_c,
    inrush_margin,
    inrush_share,
    loading,
)
from circuits.electrical.protection import rate
from circuits.electrical.sizing import size_plan
from circuits.plan import Duty, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.rules import SizingRules
from circuits.wiring import Protection
from tests.circuits.cast import HORN, only
from tests.circuits.electrical import looms
from tests.circuits.electrical.published import rows
from tests.circuits.looms import woven_plans

kinds = st.sampled_from(Kind)
families = st.sampled_from([family for family in FuseFamily if family is not FuseFamily.NONE])


def practice(quantity: str) -> float:
    """A figure of ``fuse_practice``."""
    return next(float(row["value"]) for row in rows("fuse_practice") if row["quantity"] == quantity)


def test_a_fuse_loses_what_derating_guides_say() -> None:
    """Read: 100 % in an enclosure at 40 °C, 0.2 %/K more. From memory: 93 % at 65 °C and 90 % at 85 °C."""
    assert practice("enclosure carry at 40 C, share of rating") == 100
    per_k = practice("extra derating per K of fuse body temperature") / 100
    assert ambient_share(40.0) == 1.0
    assert ambient_share(90.0) == pytest.approx(1 - 50 * per_k)
    for ambient_c in (65, 85):
        remembered = practice(f"blade fuse rerating at {ambient_c} C ambient") / 100
        assert ambient_share(ambient_c) == pytest.approx(remembered, abs=0.025)


def test_75_percent_is_the_rule_of_thumb() -> None:
    share = practice("continuous load at 25 C, share of rating") / 100
    steady = Protection("fan", "fan", "panel", FuseFamily.BLADE, None, 7.5, continuous=True)
    assert loading(steady, SizingRules()).share == share
    assert rate(steady, SizingRules()).held_a == 10.0


def test_a_fuse_in_the_heat_is_loaded_less() -> None:
    """7.4 A on 10 A in the cabin; beside the engine, 0.75 × 0.91 × 10 = 6.8 A is the most."""
    for zone, rating_a in (("cabin", 10.0), ("engine bay", 15.0)):
        heater = looms.circuit("heater", 7.4, kind=Kind.HEATER, fed_at="a", load_at=("b",))
        sized = size_plan(Plan(Vehicle(), (), (Run("a", "b", 1.0, zone),), (heater,)))
        assert sized.fuses[0].rating_a == rating_a
        assert ("above 40 °C" in sized.fuses[0].source) == (zone == "engine bay")


def test_a_fuse_on_a_bulkhead_sits_on_its_cool_side() -> None:
    plan = only(HORN)
    assert fuse_ambients_c(plan)["bulkhead"] == 40.0
    assert fuse_ambients_c(plan)["nose"] == 85.0


@pytest.mark.parametrize(
    ("kind", "rating_a"),
    [(Kind.HEATER, 10.0), (Kind.COIL, 10.0), (Kind.LAMP, 15.0), (Kind.MOTOR, 15.0), (Kind.LED, 10.0)],
)
def test_switching_on_does_not_open_the_fuse_chosen(kind: Kind, rating_a: float) -> None:
    """9.5 A for moments: a blade fuse of 10 A would do, were it not for a cold filament or a motor from rest."""
    load = looms.circuit("load", 9.5, kind=kind, duty=Duty.INTERMITTENT, fed_at="a", load_at=("b",))
    (fuse,) = size_plan(Plan(Vehicle(), (), (Run("a", "b", 0.5),), (load,))).fuses
    assert fuse.rating_a == rating_a
    assert fuse.inrush_margin is None or fuse.inrush_margin >= 1
    assert (fuse.inrush_margin is None) == (kind in (Kind.HEATER, Kind.COIL))


def test_a_family_without_an_earliest_gate_states_no_margin() -> None:
    assert inrush_margin(FuseFamily.GLASS, Kind.MOTOR, 0.75) is None
    assert inrush_share(FuseFamily.GLASS, Kind.MOTOR) == 1.0


@given(families, kinds, st.floats(0.05, 1.0), st.floats(0.0, 1.0))
def test_more_load_leaves_less_margin(family: FuseFamily, kind: Kind, share: float, more: float) -> None:
    before, after = (inrush_margin(family, kind, at) for at in (share, share + more))
    assert (before is None) == (after is None)
    if before is not None and after is not None:
        assert after <= before


@given(families, kinds)
def test_the_share_for_switching_on_is_the_greatest_with_a_margin(family: FuseFamily, kind: Kind) -> None:
    share = inrush_share(family, kind)
    margin = inrush_margin(family, kind, share)
    assert margin is None or margin >= 1
    if share < 1:
        above = inrush_margin(family, kind, share + 0.002)
        assert above is not None
        assert above < 1.01


@given(woven_plans())
def test_no_fuse_that_is_chosen_opens_at_switch_on(plan: Plan) -> None:
    forced = {circuit.name for circuit in plan.circuits if circuit.fuse_a is not None}
    for fuse in size_plan(plan).fuses:
        if fuse.circuit not in forced and fuse.inrush_margin is not None:
            assert fuse.inrush_margin >= 1


def test_a_load_that_no_gate_minds_leaves_a_figure_that_can_be_written_down() -> None:
    clock = replace(HORN, kind=Kind.ELECTRONICS, load_a=0.02)
    fuse = size_plan(only(clock)).circuits[0].fuse
    assert fuse is not None
    assert fuse.inrush_margin is None
