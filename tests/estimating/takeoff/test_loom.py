"""Grommets, covering, clips and tape are counted run by run."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.plan import Disposition
from estimating.takeoff.loom import clips_for, wrapped_tape_m
from estimating.takeoff.parts import PartKind
from estimating.takeoff.rules import MAX_CLIP_SPACING_M, TakeoffRules
from estimating.takeoff.takeoff import take_off
from tests.estimating.takeoff.builders import bundle, circuit, sized_plan, sized_wire

ISO_10133_SPACING_M = 0.45
"""ISO 10133:2012 7.3: conductors supported at most 450 mm apart."""


def counted(parts, kind):
    return {part.spec: part.quantity for part in parts if part.kind is kind}


def loom(disposition=Disposition.REPLACE):
    horn = circuit("horn", disposition)
    return sized_plan(
        [horn],
        [sized_wire(horn, runs=(0, 1, 2))],
        bundles=[bundle(0, ("horn/1",), covering_mm=0), bundle(1, ("horn/1",)), bundle(2, ("horn/1",), covering_mm=0)],
    )


def test_covering_is_as_long_as_the_run_and_of_the_size_chosen_for_its_bundle():
    assert counted(take_off(loom()), PartKind.COVERING) == {"split loom 10 mm": 2.0}


def test_an_opening_gets_one_grommet():
    assert counted(take_off(loom()), PartKind.GROMMET) == {"32 mm opening": 1}


def test_clips_fit_over_the_covering():
    assert counted(take_off(loom()), PartKind.CLIP) == {"10 mm": 3 + 5 + 8}


def test_tape_is_wound_over_taped_runs_and_allowed_for_on_the_others():
    rules = TakeoffRules()
    expected = (1.0 + 2.0) * rules.tape_m_per_loom_m + wrapped_tape_m(3.3, 0.009, rules)
    assert counted(take_off(loom()), PartKind.TAPE) == {"19 mm": pytest.approx(expected)}


def test_a_run_with_nothing_new_in_it_is_left_alone():
    assert take_off(loom(Disposition.KEEP)) == ()


@given(st.floats(0.01, 50), st.floats(0.05, MAX_CLIP_SPACING_M))
def test_clips_are_the_fewest_that_keep_the_spacing(length_m, spacing_m):
    clips = clips_for(length_m, spacing_m)
    assert length_m / clips <= spacing_m * (1 + 1e-6)
    assert clips == 1 or length_m / (clips - 1) > spacing_m * (1 - 1e-6)


@given(st.floats(0.01, 50))
def test_the_usual_spacing_is_that_of_the_standard(length_m):
    assert length_m / clips_for(length_m, TakeoffRules().clip_spacing_m) <= ISO_10133_SPACING_M * (1 + 1e-6)


def test_tape_on_a_run_without_thickness_is_its_length_over_the_part_not_overlapped():
    rules = TakeoffRules(tape_overlap=0.5)
    assert wrapped_tape_m(2.0, 0.0, rules) == pytest.approx(2.0)


@given(st.floats(0.1, 20), st.floats(0.002, 0.06), st.floats(0, 0.9))
def test_tape_area_covers_the_surface_as_often_as_the_overlap_says(length_m, diameter_m, overlap):
    """The strip's area is at least the surface over the share not overlapped (unrolled helix)."""
    rules = TakeoffRules(tape_overlap=overlap)
    strip_m2 = wrapped_tape_m(length_m, diameter_m, rules) * rules.tape_width_m
    assert strip_m2 >= math.pi * diameter_m * length_m / (1 - overlap) * (1 - 1e-9)
