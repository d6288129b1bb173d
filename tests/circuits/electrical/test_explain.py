"""The one line that says why, as the shop reads it."""

from __future__ import annotations

from circuits.electrical.explain import explain
from circuits.electrical.single import SingleLoad, size_single
from circuits.plan import Duty, FuseFamily
from circuits.rules import AmpacityBy, BuildRules, SizingRules
from tests.circuits.electrical import looms


def why(load: SingleLoad, rules: BuildRules | None = None) -> str:
    """The line of a single wire."""
    return size_single(load, rules or looms.bare_rules()).why


def test_drop_governs() -> None:
    line = why(SingleLoad(load_a=9.0, length_m=4.0, ambient_c=50.0, max_drop_percent=5.0))
    assert line == "14 AWG: drop 3.9 % of 5 % (governs at 16 AWG: 5.8 %); ampacity 30 A at 50 °C by table; 15 A fuse"


def test_fuse_governs() -> None:
    line = why(SingleLoad(load_a=17.0, length_m=0.1, ambient_c=30.0))
    assert line == "14 AWG: drop 1.2 % of 5 %; ampacity 35 A at 30 °C by table; 25 A fuse (governs at 16 AWG: 20 A)"


def test_ampacity_governs_without_a_fuse() -> None:
    line = why(SingleLoad(load_a=36.0, length_m=0.1, ambient_c=30.0, fuse_family=FuseFamily.NONE))
    assert line == "12 AWG: drop 1.7 % of 5 %; ampacity 45 A at 30 °C by table (governs at 14 AWG: 35 A)"


def test_mechanical_minimum_governs() -> None:
    rules = BuildRules(SizingRules(insulation_class_c=105, sizes=("20 AWG", "18 AWG"), contact_ohm=0.0))
    line = why(SingleLoad(load_a=0.5, length_m=0.5, ambient_c=30.0), rules)
    assert line == (
        "18 AWG: drop 0.6 % of 5 %; ampacity 20 A at 30 °C by table; 1 A fuse; "
        "at least 0.75 mm² (governs at 20 AWG: 0.518 mm²)"
    )


def test_smallest_in_stock() -> None:
    line = why(SingleLoad(load_a=0.5, length_m=0.5, ambient_c=30.0))
    assert line.endswith("; 1 A fuse; smallest in stock")


def test_cranking() -> None:
    load = SingleLoad(
        load_a=400.0, length_m=0.3, duty=Duty.INTERMITTENT, fuse_family=FuseFamily.NONE, ambient_c=60.0,
        max_drop_percent=25.0,
    )  # fmt: skip
    assert "cranking needs 25.1 mm² of 31.6 mm² (governs at 4 AWG: 18.9 mm²)" in why(load)


def test_forced_size_and_what_it_does_not_meet() -> None:
    line = why(SingleLoad(load_a=9.0, length_m=4.0, ambient_c=85.0, size="18 AWG"))
    assert line.startswith("18 AWG, forced: drop ")
    assert line.endswith("ampacity 10.3 A at 85 °C by table; 15 A fuse, not met")
    assert "of 5 %, not met;" in line


def test_heat_balance_says_so_where_it_is_the_lower() -> None:
    rules = looms.bare_rules(ampacity_by=AmpacityBy.LOWER)
    assert "ampacity 34.7 A at 30 °C by heat balance" in why(
        SingleLoad(load_a=17.0, length_m=0.1, ambient_c=30.0), rules
    )


def test_every_wire_can_say_why() -> None:
    result = size_single(SingleLoad(load_w=55.0, length_m=3.0))
    assert all(explain(wire).startswith(f"{wire.conductor.label}: ") for wire in result.circuit.wires)
