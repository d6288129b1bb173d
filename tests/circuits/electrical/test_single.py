"""One wire at the bench answers as the same wire in a plan does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from circuits.electrical.basis import bases
from circuits.electrical.single import SingleLoad, size_single
from circuits.electrical.sizing import size_plan
from circuits.errors import PlanError
from circuits.plan import Circuit, Kind, Plan, Return, Run, Vehicle, Zone
from circuits.rules import BuildRules, LengthRules
from tests.circuits.electrical import looms

NO_ALLOWANCES = BuildRules(lengths=LengthRules(end_allowance_m=0.0, slack_ratio=0.0))


@pytest.mark.parametrize("return_by", Return)
@pytest.mark.parametrize("ambient_c", [40.0, 85.0])
def test_same_answer_as_a_plan_of_one_circuit(return_by: Return, ambient_c: float) -> None:
    circuit = Circuit(
        "lamp", "front", "battery", "panel", "lamp", ("wing",), Kind.LAMP, load_w=110.0, return_by=return_by
    )
    run = Run("panel", "wing", 3.4, "here")
    in_plan = size_plan(Plan(Vehicle(), (Zone("here", ambient_c),), (run,), (circuit,)), NO_ALLOWANCES)
    bundle = in_plan.wires[0].wire.bundle
    load = SingleLoad(length_m=3.4, load_w=110.0, ambient_c=ambient_c, bundle=bundle, return_by=return_by)
    single = size_single(load, NO_ALLOWANCES)
    assert single.wire.conductor == in_plan.wires[0].conductor
    assert single.wire.tried == in_plan.wires[0].tried
    assert single.circuit.drop_v == pytest.approx(in_plan.circuits[0].drop_v)
    assert single.fuse is not None
    assert in_plan.circuits[0].fuse is not None
    assert single.fuse.rating_a == in_plan.circuits[0].fuse.rating_a


def test_watts_are_taken_at_the_system_voltage() -> None:
    at_12, at_24 = (
        size_single(SingleLoad(length_m=2.0, load_w=120.0, system_v=v)).circuit.current_a for v in (12.0, 24.0)
    )
    assert (at_12, at_24) == (10.0, 5.0)


def test_wired_return_counts_twice_the_length() -> None:
    load = SingleLoad(length_m=5.0, load_a=5.0, return_by=Return.WIRED, size="14 AWG")
    result = size_single(load, looms.bare_rules())
    out, back = result.circuit.wires
    assert out.drop_v == back.drop_v
    assert result.circuit.drop_v == pytest.approx(2 * out.drop_v + 5.0 * 0.01091)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"bundle": 0}, "bundle"),
        ({"length_m": 0.0}, "length must be above 0"),
        ({"length_m": float("nan")}, "length must be above 0"),
        ({"load_a": -1.0}, "load_a must be above 0"),
        ({"load_w": 5.0}, "either load_a or load_w"),
        ({"ambient_c": 400.0}, "ambient must be -60 to 250"),
        ({"system_v": 48.0}, "system_v must be 12 or 24"),
        ({"max_drop_percent": 60.0}, "max_drop_percent must be at most 50"),
        ({"fuse_a": 0.0}, "fuse_a must be above 0"),
        ({"chassis_resistance_ohm": -0.1}, "chassis resistance"),
    ],
)
def test_bad_input_is_named(changed: dict[str, float], message: str) -> None:
    with pytest.raises(PlanError, match=message):
        size_single(replace(SingleLoad(length_m=1.0, load_a=5.0), **changed))  # type: ignore[arg-type]


def test_findings_come_with_the_answer() -> None:
    result = size_single(SingleLoad(length_m=1.0, load_a=5.0, ambient_c=130.0))
    assert [finding.code for finding in result.findings] == ["too-hot"]


def test_every_basis_names_a_source() -> None:
    assert all(basis.figure and basis.basis and basis.source for basis in bases())
