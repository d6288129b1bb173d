"""Standard ratings and the choice of a fuse."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.protection import (
    fuse_of_another_family,
    rate,
    smallest_fuse,
    standard_fuses,
)
from circuits.plan import Duty, FuseFamily
from circuits.rules import SizingRules
from tests.circuits.electrical import looms
from tests.circuits.electrical.published import read_rows, rows

FITTED = [family for family in FuseFamily if family is not FuseFamily.NONE]
families = st.sampled_from(FITTED)
OUR_FAMILY = {"mini": FuseFamily.MINI_BLADE, "regular": FuseFamily.BLADE, "maxi": FuseFamily.MAXI_BLADE}


@pytest.mark.parametrize("row", read_rows("fuse_blade_sizes"), ids=lambda row: row["fuse_type"])
def test_blade_ratings_are_those_that_are_made(row: dict[str, str]) -> None:
    """Blade fuse size list. Ours adds 35 A regular and 100 A maxi, from the colour list and ISO 8820-3:2015's scope."""
    made = {float(rating) for rating in row["ratings_A"].split(";")}
    ours = {fuse.rating_a for fuse in standard_fuses(OUR_FAMILY[row["fuse_type"]])}
    assert made <= ours
    assert ours - made <= {35.0, 100.0}


COLOURED = [row for row in read_rows("fuse_blade_colours") if 1 <= float(row["rated_current_A"]) <= 100]
SAME = {"clear/white": "clear", "matt/clear": "clear", "light brown (tan)": "tan", "natural/white": "clear"}
SAME |= {"light green": "green", "light blue": "blue"}


@pytest.mark.parametrize(
    "row", COLOURED, ids=lambda row: f"{row['fuse_type']} {row['rated_current_A']} {row['colour']}"
)
def test_colours_are_those_of_the_trade(row: dict[str, str]) -> None:
    """Three lists of blade fuse colours; of 70 A large, brown in one and tan in the other, ours is tan."""
    family = FuseFamily.MAXI_BLADE if row["fuse_type"].startswith("large") else FuseFamily.BLADE
    ours = {fuse.rating_a: fuse.colour for fuse in standard_fuses(family)}
    expected = SAME.get(row["colour"], row["colour"])
    rating_a = float(row["rated_current_A"])
    assert ours[rating_a] == ("tan" if (family, rating_a) == (FuseFamily.MAXI_BLADE, 70.0) else expected)


RESISTANCES = [row for row in rows("fuse_resistance") if row["fuse_type"] in ("regular blade", "large blade")]


@pytest.mark.parametrize("row", RESISTANCES, ids=lambda row: f"{row['fuse_type']} {row['rated_current_A']}")
def test_resistance_is_that_of_its_source(row: dict[str, str]) -> None:
    """Large blade: limits of DIN 72581-3 form E; 10 A regular: worked example; other regular ones from memory."""
    family = FuseFamily.MAXI_BLADE if row["fuse_type"] == "large blade" else FuseFamily.BLADE
    ours = {fuse.rating_a: fuse.resistance_ohm for fuse in standard_fuses(family)}
    assert ours[float(row["rated_current_A"])] * 1000 == pytest.approx(float(row["resistance_mohm"]), rel=2e-3)


def test_continuous_share_is_the_published_rule_of_thumb() -> None:
    """Fuse makers' rule at 25 °C: 75 % of the rating."""
    rule = next(row for row in read_rows("fuse_practice") if row["quantity"].startswith("continuous load at 25 C"))
    assert SizingRules().continuous_share * 100 == float(rule["value"])


@pytest.mark.parametrize("family", FITTED)
def test_larger_ratings_have_less_resistance(family: FuseFamily) -> None:
    fuses = standard_fuses(family)
    assert [fuse.rating_a for fuse in fuses] == sorted({fuse.rating_a for fuse in fuses})
    assert [fuse.resistance_ohm for fuse in fuses] == sorted((f.resistance_ohm for f in fuses), reverse=True)


@given(families, st.floats(0.01, 600.0), st.sampled_from((0.75, 1.0)))
def test_the_smallest_rating_that_carries_the_load_is_taken(family: FuseFamily, load_a: float, share: float) -> None:
    ratings = [fuse.rating_a for fuse in standard_fuses(family)]
    enough = [rating for rating in ratings if load_a <= share * rating]
    found = smallest_fuse(family, load_a, share)
    assert (found.rating_a if found else None) == (min(enough) if enough else None)


@pytest.mark.parametrize(
    ("load_a", "duty", "rating_a"),
    [(7.5, Duty.CONTINUOUS, 10.0), (7.51, Duty.CONTINUOUS, 15.0), (7.51, Duty.INTERMITTENT, 10.0),
     (10.0, Duty.INTERMITTENT, 10.0), (0.1, Duty.CONTINUOUS, 1.0), (30.0, Duty.CONTINUOUS, 40.0)],
)  # fmt: skip
def test_blade_fuse_at_the_edge_of_its_share(load_a: float, duty: Duty, rating_a: float) -> None:
    rated = rate(looms.fuse(looms.circuit(load_a=load_a, duty=duty)), SizingRules())
    assert rated.fuse is not None
    assert (rated.fuse.rating_a, rated.held_a) == (rating_a, rating_a)


def test_where_a_family_ends_the_wire_is_held_against_the_fuse_that_would_do() -> None:
    rated = rate(looms.fuse(looms.circuit(load_a=31.0)), SizingRules())
    assert rated.fuse is None
    assert rated.held_a == 50.0  # maxi blade


def test_where_every_family_ends_the_wire_is_held_against_load_over_share() -> None:
    assert fuse_of_another_family(FuseFamily.BLADE, 600.0, 0.75) is None
    assert rate(looms.fuse(looms.circuit(load_a=600.0)), SizingRules()).held_a == pytest.approx(800.0)


@given(families, st.floats(0.01, 600.0), st.floats(0.01, 600.0))
def test_more_load_never_gets_a_smaller_fuse(family: FuseFamily, one_a: float, other_a: float) -> None:
    less, more = (
        rate(looms.fuse(looms.circuit(load_a=load_a, fuse_family=family)), SizingRules()).held_a
        for load_a in sorted((one_a, other_a))
    )
    assert less <= more


def test_a_forced_rating_is_taken_as_it_is() -> None:
    rated = rate(looms.fuse(looms.circuit(load_a=20.0, fuse_a=12.0)), SizingRules())
    assert rated.fuse is not None
    assert (rated.fuse.rating_a, rated.fuse.colour, rated.held_a) == (12.0, "", 12.0)
    assert rated.steps == ((20.0, 0.00769),)  # that of the 10 A below it


def test_every_rating_has_its_source() -> None:
    assert all(fuse.source for family in FITTED for fuse in standard_fuses(family))
