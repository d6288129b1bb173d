"""Bundles under their real loads."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.bundle_heat import (
    HOTTEST_C,
    Lying,
    bundle_heat,
    equal_loads_a,
    for_s,
    middle_k_m_per_w,
)
from circuits.electrical.conductors import conductor
from circuits.electrical.heating import copper_temperature_c
from circuits.plan import Covering

SIZE = conductor("14 AWG")
loads = st.lists(
    st.builds(
        Lying,
        st.sampled_from([conductor(label) for label in ("18 AWG", "14 AWG", "10 AWG", "2.5 mm²", "2 AWG")]),
        st.floats(0.0, 25.0),
        st.sampled_from((math.inf, 600.0, 30.0)),
    ),
    min_size=1,
    max_size=25,
)


def test_one_wire_is_as_hot_as_alone() -> None:
    found = bundle_heat([Lying(SIZE, 20.0)], 40.0)
    assert found.copper_c[0] == pytest.approx(copper_temperature_c("14 AWG", 20.0, 40.0), abs=0.3)


def test_two_forms_of_the_same_bundle_agree() -> None:
    """Twelve wires at the current that holds 105 °C by the one are at 105 °C by the other."""
    current_a = equal_loads_a([SIZE] * 12, 12, 105.0, 30.0)
    assert max(bundle_heat([Lying(SIZE, current_a)] * 12, 30.0).copper_c) == pytest.approx(105.0, abs=0.5)


def test_idle_wires_around_the_loaded_ones_count() -> None:
    current_a = equal_loads_a([SIZE] * 8, 2, 105.0, 30.0)
    found = bundle_heat([Lying(SIZE, current_a)] * 2 + [Lying(SIZE, 0.0)] * 6, 30.0)
    assert max(found.copper_c) == pytest.approx(105.0, abs=0.5)


def test_middle_of_a_bundle_all_loaded_alike_is_the_textbook_cylinder() -> None:
    """Centre of a cylinder that makes heat evenly: q / (4·pi·k) above its surface, k = 0.13."""
    assert middle_k_m_per_w([Lying(SIZE, 5.0)] * 19, 17.5) == pytest.approx(1 / (4 * math.pi * 0.13))


def test_nothing_loaded_is_at_ambient() -> None:
    assert bundle_heat([Lying(SIZE, 0.0)] * 3, 55.0).middle_c == 55.0
    assert bundle_heat([], 55.0).middle_c == 55.0


def test_hopeless_bundles_end_at_a_stated_temperature() -> None:
    assert bundle_heat([Lying(SIZE, 500.0)] * 9, 55.0).middle_c == HOTTEST_C


def test_short_loads_count_by_how_far_they_warm_the_bundle() -> None:
    always, ten_minutes, cranking = (
        bundle_heat([Lying(SIZE, 15.0, s)] * 12, 40.0).middle_c for s in (math.inf, 600, 30)
    )
    assert 40 < cranking < ten_minutes <= always
    assert for_s(continuous=True, cranking=False) == math.inf


def test_a_covering_makes_it_hotter() -> None:
    bare, loom = (
        bundle_heat([Lying(SIZE, 12.0)] * 9, 40.0, covering).middle_c
        for covering in (Covering.NONE, Covering.SPLIT_LOOM)
    )
    assert loom > bare


@given(loads, st.floats(-20, 100), st.floats(1.0, 2.0), st.floats(0, 40))
def test_more_load_or_heat_never_cools_a_bundle(
    wires: list[Lying], ambient_c: float, more: float, warmer_c: float
) -> None:
    before = bundle_heat(wires, ambient_c)
    heavier = [Lying(wire.size, wire.current_a * more, wire.for_s) for wire in wires]
    after = bundle_heat(heavier, ambient_c + warmer_c)
    assert before.middle_c <= after.middle_c + 1e-6
    assert all(copper_c >= before.middle_c - 1e-9 for copper_c in before.copper_c)
