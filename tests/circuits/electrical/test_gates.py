"""Time gates of fuses against published ones."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.gates import earliest, is_from_memory, latest
from circuits.electrical.tables import read_rows as packaged
from circuits.plan import FuseFamily
from tests.circuits.electrical.published import rows

FUSES = [family for family in FuseFamily if family is not FuseFamily.NONE]
families = st.sampled_from(FUSES)

PUBLISHED_TYPES = {
    FuseFamily.MAXI_BLADE: "large blade (E)",
    FuseFamily.BLADE: "regular blade (C)",
    FuseFamily.MINI_BLADE: "miniature blade (F)",
    FuseFamily.BOLT_IN: "bolt-in strip",
    FuseFamily.GLASS: "glass tube, length-graded",
}


def published(status: str) -> list[tuple[FuseFamily, dict[str, str]]]:
    """Rows of the published list by the family they stand for."""
    return [
        (family, row)
        for family, kind in PUBLISHED_TYPES.items()
        for row in rows("fuse_time_gates")
        if row["fuse_type"].startswith(kind) and row["status"] == status
    ]


@pytest.mark.parametrize(("family", "row"), published("read"))
def test_gates_read_in_a_standard_are_kept_exactly(family: FuseFamily, row: dict[str, str]) -> None:
    """DIN 72581-3 Form E, the large blade: pass or fail."""
    multiple = float(row["percent_of_rating"]) / 100
    if row["max_time_s"]:
        assert latest(family).at(multiple) == pytest.approx(float(row["max_time_s"]))
    early = earliest(family)
    if row["min_time_s"] and early:
        assert early.at(multiple) == pytest.approx(float(row["min_time_s"]))


@pytest.mark.parametrize(("family", "row"), published("memory"))
def test_gates_from_memory_are_never_made_stricter(family: FuseFamily, row: dict[str, str]) -> None:
    """ISO 8820-3 types C and F, ISO 8820-5, SAE J554, all from memory: for plausibility only."""
    multiple = float(row["percent_of_rating"]) / 100
    if row["max_time_s"]:
        assert latest(family).at(multiple) >= float(row["max_time_s"]) * (1 - 1e-9)
    early = earliest(family)
    if row["min_time_s"] and early:
        assert early.at(multiple) <= float(row["min_time_s"]) * (1 + 1e-9)


@pytest.mark.parametrize("family", [FuseFamily.BLADE, FuseFamily.MINI_BLADE, FuseFamily.MAXI_BLADE])
def test_the_low_gate_of_every_blade_spans_what_iso_8820_3_says(family: FuseFamily) -> None:
    """Read: 0.75 to 1800 s at 135 %, over all types."""
    (row,) = (row for row in rows("fuse_time_gates") if row["fuse_type"] == "any blade")
    assert latest(family).at(1.35) == float(row["max_time_s"])
    early = earliest(family)
    assert early is not None
    assert early.at(1.35) >= float(row["min_time_s"])


def test_glass_is_held_beside_the_general_cartridge_limit() -> None:
    """UL 248-14 (read): 3600 s at 135 %; its 120 s at 200 % does not count, SAE J554 (memory) has 10 s."""
    assert latest(FuseFamily.GLASS).at(1.35) == 3600.0
    assert latest(FuseFamily.GLASS).at(2.0) == 10.0
    (kept,) = (row for row in packaged("fuse_gates") if row["counts"] == "no")
    assert (kept["family"], kept["max_s"], kept["status"]) == ("glass", "120", "read")


def test_every_gate_says_whether_it_was_read() -> None:
    assert {row["status"] for row in packaged("fuse_gates")} == {"read", "memory"}
    assert all(is_from_memory(family) for family in FUSES)


@pytest.mark.parametrize("family", FUSES)
def test_curves_are_sound(family: FuseFamily) -> None:
    curve, early = latest(family), earliest(family)
    assert curve.multiples[0] == 1.35
    assert list(curve.seconds) == sorted(curve.seconds, reverse=True)
    if early:
        assert list(early.seconds) == sorted(early.seconds, reverse=True)


@given(families, st.floats(1.0, 100.0), st.floats(1.0, 3.0))
def test_more_current_never_opens_later_nor_the_earliest_after_the_latest(
    family: FuseFamily, multiple: float, more: float
) -> None:
    curve, early = latest(family), earliest(family)
    assert curve.at(multiple * more) <= curve.at(multiple)
    if early:
        assert early.at(multiple * more) <= early.at(multiple)
        assert early.at(multiple) <= curve.at(multiple)


@given(families, st.floats(1e-4, 1000.0))
def test_overload_for_a_time_is_the_inverse_of_the_curve(family: FuseFamily, seconds: float) -> None:
    curve = latest(family)
    multiple = curve.multiple_at(seconds)
    assert curve.at(multiple) == pytest.approx(min(seconds, curve.seconds[0]), rel=1e-6)


@given(families, st.floats(10.0, 1000.0))
def test_past_the_last_gate_the_heat_let_through_is_held(family: FuseFamily, multiple: float) -> None:
    curve = latest(family)
    assert multiple**2 * curve.at(multiple) == pytest.approx(curve.multiples[-1] ** 2 * curve.seconds[-1])
    assert curve.at(1.0) == math.inf
