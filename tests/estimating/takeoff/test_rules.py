"""Allowances are held to what a shop could mean."""

import pytest

from circuits.errors import PlanError, TableError
from estimating.takeoff.parts import Part, PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.tables import Ladder


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("spare_fuses", -1),
        ("spare_positions_percent", 201),
        ("clip_spacing_m", 0.62),
        ("clip_spacing_m", 0.0),
        ("tape_overlap", 1.0),
        ("heat_shrink_end_m", float("nan")),
        ("labels_per_wire", 21),
        ("repair_wire_m", float("inf")),
    ],
)
def test_an_allowance_out_of_range_is_refused_by_name(name, value):
    with pytest.raises(PlanError, match=name):
        TakeoffRules(**{name: value})


@pytest.mark.parametrize("quantity", [0, -1, float("nan"), float("inf")])
def test_a_part_without_a_quantity_cannot_be(quantity):
    with pytest.raises(PlanError, match="quantity"):
        Part(PartKind.CLIP, "6 mm", quantity, Unit.PIECE, ())


def test_a_ladder_refuses_limits_that_do_not_rise():
    with pytest.raises(TableError, match="rise"):
        Ladder(({"up_to": "3"}, {"up_to": "2"}), "up_to", "clips")


def test_a_ladder_names_what_lies_above_its_last_limit():
    with pytest.raises(TableError, match="nothing for 9"):
        Ladder(({"up_to": "3"},), "up_to", "clips").row(9)


def test_a_value_at_its_limit_but_for_rounding_counts_as_at_it():
    ladder = Ladder(({"up_to": "0.3"}, {"up_to": "1"}), "up_to", "clips")
    assert ladder.row(0.1 + 0.2)["up_to"] == "0.3"
