"""Every finding on sized circuits: when it comes, when not, what it says and what it tells to do."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from circuits.electrical.checks import CIRCUIT_RULES
from circuits.electrical.sizing import size_plan, size_wiring
from circuits.findings import Finding, Severity
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Vehicle
from circuits.rules import BuildRules
from circuits.wiring import Role, Wire
from tests.circuits.cast import marsh_hare
from tests.circuits.electrical import looms

CODES = Path(__file__).parents[3] / "circuits" / "finding_codes.csv"


def findings(
    of: Circuit,
    *wires: Wire,
    rules: BuildRules | None = None,
    fused: bool = True,
    through_chassis: bool = False,
    chassis_ohm: float = 0.005,
) -> dict[str, Finding]:
    """Findings by code on a circuit of one load that walks all its wires."""
    carried = of.load_current_a(12.0)
    made = wires or (looms.wire(1, circuit=of.name, current_a=carried, fuse=of.name if fused else None, length_m=1.0),)
    on_way = tuple(wire for wire in made if wire.role is not Role.RELAY_COIL)
    way = looms.path(of, on_way, protections=(of.name,) if fused else (), through_chassis=through_chassis)
    fuses = (looms.fuse(of),) if fused else ()
    loom = looms.wiring((of,), made, fuses, (way,), Vehicle(chassis_resistance_ohm=chassis_ohm))
    told = size_wiring(loom, rules or looms.bare_rules()).findings
    found = [finding for finding in told if finding.code != "thin-wire-alone"]  # a loom of one bare wire
    assert len({finding.code for finding in found}) == len(found), "each code is told once a circuit"
    return {finding.code: finding for finding in found}


def the_only(found: dict[str, Finding], code: str) -> Finding:
    """The finding of that code, which must be the only one."""
    assert list(found) == [code]
    return found[code]


def test_a_sound_circuit_has_none() -> None:
    assert findings(looms.circuit(load_a=5.0)) == {}


def test_each_rule_has_its_code_in_the_table_and_says_it_first() -> None:
    with CODES.open(encoding="utf-8", newline="") as file:
        codes = {row["code"]: row for row in csv.DictReader(file)}
    told = [(rule.__doc__ or "").split(":")[0] for rule in CIRCUIT_RULES]
    assert len(set(told)) == len(CIRCUIT_RULES)
    for code in told:
        assert codes[code]["meaning"]
        assert codes[code]["cure"]
        assert Severity(codes[code]["severity"])


@pytest.mark.parametrize("rule", CIRCUIT_RULES, ids=lambda rule: rule.__name__)
def test_rule_name_is_its_code(rule: object) -> None:
    name = getattr(rule, "__name__", "").replace("_", "-")
    assert (rule.__doc__ or "").startswith(f"{name}:")


def test_no_fuse() -> None:
    finding = the_only(findings(looms.circuit("fan", load_a=33.0)), "no-fuse")
    assert finding.severity is Severity.ERROR
    assert finding.message == "fan: no blade fuse carries 33 A continuous"
    assert (finding.figure, finding.limit) == ("44 A or more", "40 A, the largest")
    assert finding.cure == "Use a 50 A maxi blade fuse, or split the circuit."


def test_no_fuse_of_any_family() -> None:
    finding = findings(looms.circuit("winch", load_a=450.0, fuse_family=FuseFamily.BOLT_IN))["no-fuse"]
    assert finding.cure == "Split the circuit."


def test_unprotected_wire() -> None:
    finding = the_only(findings(looms.circuit("clock", load_a=1.0), fused=False), "unprotected-wire")
    assert finding.severity is Severity.ERROR
    assert (finding.message, finding.wire) == ("clock: no fuse protects clock/1", "clock/1")
    assert "Give the circuit a fuse" in finding.cure


def test_unprotected_wires_are_told_once() -> None:
    clock = looms.circuit("clock", load_a=1.0)
    wires = tuple(looms.wire(n, circuit="clock", current_a=1.0, fuse=None, length_m=0.5) for n in (1, 2, 3))
    finding = the_only(findings(clock, *wires, fused=False), "unprotected-wire")
    assert finding.message == "clock: no fuse protects clock/1 and 2 more of its wires"


def starter(load_a: float) -> Circuit:
    """A starter without a fuse."""
    duty = Duty.INTERMITTENT
    return looms.circuit(
        "starter", load_a, kind=Kind.MOTOR, duty=duty, fuse_family=FuseFamily.NONE, max_drop_percent=10.0
    )


def test_cranking_unfused() -> None:
    finding = the_only(findings(starter(180.0), fused=False), "cranking-unfused")
    assert finding.severity is Severity.NOTE
    assert finding.message.startswith("starter: its cable carries 180 A while cranking and has no fuse")
    assert "isolate the battery" in finding.cure


@pytest.mark.parametrize(
    "of", [starter(99.0), looms.circuit(load_a=180.0, max_drop_percent=10.0)], ids=["99 A", "continuous"]
)
def test_only_a_large_intermittent_load_may_go_unfused(of: Circuit) -> None:
    assert "unprotected-wire" in findings(of, fused=False)


def test_forced_fuse_not_standard() -> None:
    finding = the_only(findings(looms.circuit("horn", load_a=5.0, fuse_a=12.0)), "forced-fuse-not-standard")
    assert finding.severity is Severity.WARNING
    assert finding.message == "horn: 12 A is no rating of a blade fuse"
    assert finding.cure == "Use 10 A or 15 A."


def test_forced_fuse_beyond_the_largest_rating_names_the_largest() -> None:
    assert findings(looms.circuit(load_a=5.0, fuse_a=60.0))["forced-fuse-not-standard"].cure == "Use 40 A."


def test_forced_fuse_low() -> None:
    finding = the_only(findings(looms.circuit("horn", load_a=9.0, fuse_a=10.0)), "forced-fuse-low")
    assert finding.severity is Severity.WARNING
    assert finding.message == "horn: a 10 A fuse carries 9 A continuous, more than 75 % of its rating"
    assert (finding.figure, finding.limit, finding.cure) == ("9 A", "7.5 A", "Use a 15 A blade fuse.")


def test_an_intermittent_load_may_fill_its_forced_fuse() -> None:
    assert findings(looms.circuit(load_a=10.0, fuse_a=10.0, duty=Duty.INTERMITTENT, kind=Kind.HEATER)) == {}


def test_forced_fuse_below_load() -> None:
    finding = the_only(findings(looms.circuit("horn", load_a=9.0, fuse_a=7.5)), "forced-fuse-below-load")
    assert finding.severity is Severity.ERROR
    assert finding.message == "horn: a 7.5 A fuse opens under 9 A continuous"
    assert (finding.limit, finding.cure) == ("7.5 A", "Use a 15 A blade fuse.")


def test_a_load_no_fuse_carries_is_to_be_split() -> None:
    found = findings(looms.circuit(load_a=600.0, fuse_a=40.0, max_drop_percent=50.0))
    assert found["forced-fuse-below-load"].cure == "Split the circuit."


def test_forced_fuse_inrush() -> None:
    """A lamp of 10 A for moments only on a 10 A fuse: cold, it draws 100 A at first."""
    lamp = looms.circuit(load_a=10.0, fuse_a=10.0, duty=Duty.INTERMITTENT)
    finding = the_only(findings(lamp), "forced-fuse-inrush")
    assert finding.severity is Severity.WARNING
    assert finding.message == (
        "lamp: switching 10 A intermittent on may open a 10 A fuse: its shortest time is 0.62 of what that takes"
    )
    assert (finding.figure, finding.limit, finding.cure) == ("10 A", "7.9 A", "Use a 15 A blade fuse.")
    assert findings(replace(lamp, fuse_a=15.0)) == {}


def test_forced_fuse_over_wire() -> None:
    """18 AWG, 105 °C class, 85 °C: 10.3 A."""
    horn = looms.circuit("horn", load_a=5.0, fuse_a=20.0, size="18 AWG")
    finding = the_only(
        findings(horn, looms.wire(1, circuit="horn", current_a=5.0, ambient_c=85.0, fuse="horn", length_m=1.0)),
        "forced-fuse-over-wire",
    )
    assert finding.severity is Severity.ERROR
    assert (
        finding.message == "horn: a 20 A fuse does not protect horn/1, whose 18 AWG stands a fuse of up to 10.3 A there"
    )
    assert (finding.figure, finding.limit) == ("20 A", "10.3 A")
    assert finding.cure == "Use a 7.5 A fuse or fit 12 AWG."


def test_forced_fuse_that_no_size_in_stock_suits() -> None:
    rules = looms.bare_rules(sizes=("18 AWG", "16 AWG"))
    finding = the_only(findings(looms.circuit("horn", load_a=5.0, fuse_a=40.0), rules=rules), "forced-fuse-over-wire")
    assert finding.cure == "Use a 7.5 A fuse or fit 10 AWG (not in stock)."


def test_too_hot() -> None:
    hot = looms.wire(1, circuit="horn", current_a=5.0, ambient_c=120.0, fuse="horn", length_m=0.2)
    finding = the_only(findings(looms.circuit("horn", load_a=5.0), hot), "too-hot")
    assert finding.severity is Severity.ERROR
    assert finding.message == "horn/1 passes cabin at 120 °C, where its 105 °C insulation carries nothing"
    assert (finding.figure, finding.limit) == ("120 °C", "105 °C")
    assert finding.cure == "Move the run out of cabin, or use a 125 °C class wire."


def test_too_hot_for_every_class() -> None:
    hot = looms.wire(1, circuit="horn", current_a=5.0, ambient_c=210.0, fuse="horn", length_m=0.2)
    assert findings(looms.circuit("horn", load_a=5.0), hot)["too-hot"].cure == "Move the run out of cabin."


def test_no_size() -> None:
    rules = looms.bare_rules(sizes=("18 AWG", "16 AWG"))
    finding = the_only(findings(looms.circuit("fan", load_a=20.0), rules=rules), "no-size")
    assert finding.severity is Severity.ERROR
    assert finding.message == (
        "fan/1: not even 16 AWG, the largest in stock, will do: it stands a fuse of up to 20 A there, its fuse is 30 A"
    )
    assert (finding.figure, finding.limit, finding.cure) == ("30 A", "20 A", "Fit 12 AWG (not in stock).")


def test_no_size_at_all() -> None:
    full = looms.wire(1, circuit="fan", current_a=200.0, bundle=30, fuse="fan", length_m=0.2)
    finding = findings(looms.circuit("fan", load_a=200.0, fuse_family=FuseFamily.BOLT_IN), full)["no-size"]
    assert finding.cure == "Split the circuit, or move the run to a cooler place or out of its bundle."


def test_no_size_for_cranking() -> None:
    rules = looms.bare_rules(sizes=("4 AWG",))
    found = findings(starter(700.0), fused=False, rules=rules)
    assert "cranking needs 43.8 mm² of copper, it has 18.9 mm²" in found["no-size"].message


def test_drop_over_limit() -> None:
    rules = looms.bare_rules(sizes=("18 AWG", "16 AWG"))
    long = looms.wire(1, circuit="tail", current_a=5.0, length_m=12.0, fuse="tail")
    finding = the_only(findings(looms.circuit("tail", load_a=5.0), long, rules=rules), "drop-over-limit")
    assert finding.severity is Severity.ERROR
    assert finding.message == "tail: even in 16 AWG it drops 8.1 %, more than the 5 % allowed"
    assert (finding.figure, finding.limit, finding.cure) == ("8.1 %", "5 %", "Fit 12 AWG (not in stock).")


def test_drop_that_only_a_shorter_way_lessens() -> None:
    long = looms.wire(1, circuit="tail", current_a=30.0, length_m=100.0, fuse="tail")
    finding = findings(looms.circuit("tail", load_a=30.0, duty=Duty.INTERMITTENT, max_drop_percent=2.0), long)
    assert finding["drop-over-limit"].cure == "Shorten the way, feed it from nearer, or split the load."


def test_drop_that_no_wire_lessens_names_what_takes_it() -> None:
    """20 A through 50 mohm of body is 1 V, 8.3 %; the 30 A fuse adds 0.3 %."""
    found = findings(looms.circuit("fan", load_a=20.0), through_chassis=True, chassis_ohm=0.05)
    assert found["drop-over-limit"].cure == (
        "Wire its return, or allow more drop: joints, fuses and chassis alone take 8.7 %."
    )


def behind_two_feeders(main_m: float) -> set[str]:
    """Codes of the findings on a 5 % lamp behind two feeders of 3 % each, the first of them so long."""
    main = looms.circuit("main", 30.0, kind=Kind.FEEDER, fuse_family=FuseFamily.MAXI_BLADE, max_drop_percent=3.0)
    panel = looms.circuit("panel", 30.0, feed="main", kind=Kind.FEEDER, max_drop_percent=3.0, size="8 AWG")
    lamp = looms.circuit("lamp", 5.0, feed="panel", size="18 AWG")
    wires = (
        looms.wire(1, circuit="main", length_m=main_m, current_a=30.0, fuse="main"),
        looms.wire(1, circuit="panel", length_m=1.0, current_a=30.0, fuse="panel"),
        looms.wire(1, length_m=4.0, current_a=5.0),
    )
    circuits = (main, panel, lamp)
    ways = zip(circuits, wires, ("", "main", "panel"), strict=True)
    paths = tuple(looms.path(one, (wire,), upstream=upstream) for one, wire, upstream in ways)
    loom = looms.wiring(circuits, wires, tuple(looms.fuse(one) for one in circuits), paths)
    return {found.code for found in size_wiring(loom, looms.bare_rules()).findings if found.circuit == "lamp"}


def test_drop_from_battery() -> None:
    assert behind_two_feeders(0.2) == set()
    assert behind_two_feeders(3.0) == {"drop-from-battery"}


def test_drop_just_over_the_limit_does_not_read_as_if_it_were_kept() -> None:
    rules = looms.bare_rules(sizes=("18 AWG",))
    lamp = looms.circuit("lamp", load_a=5.0)
    sized = size_wiring(
        looms.wiring(
            (lamp,), (looms.wire(1, current_a=5.0),), (looms.fuse(lamp),), (looms.path(lamp, (looms.wire(1),)),)
        ),
        rules,
    )
    drop = next(trial.value for trial in sized.wires[0].tried if trial.unit == "%")
    tight = looms.circuit("lamp", load_a=5.0, max_drop_percent=drop - 0.004)
    finding = findings(tight, looms.wire(1, current_a=5.0), rules=rules)["drop-over-limit"]
    assert finding.figure != finding.limit


def forced(size: str, load_a: float = 5.0, **changed: object) -> dict[str, Finding]:
    """Findings on a horn forced to a size, 1 m at 85 °C."""
    horn = looms.circuit("horn", load_a=load_a, size=size)
    values: dict[str, object] = {"current_a": load_a, "ambient_c": 85.0, "length_m": 1.0} | changed
    rules = looms.bare_rules(min_area_mm2=0.75, sizes=("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG"))
    return findings(horn, looms.wire(1, circuit="horn", fuse="horn", **values), rules=rules)  # type: ignore[arg-type]


def test_a_forced_size_that_does_is_silent() -> None:
    assert forced("14 AWG") == {}


def test_forced_size_unknown() -> None:
    finding = the_only(forced("15 AWG"), "forced-size-unknown")
    assert finding.severity is Severity.ERROR
    assert finding.message == "horn: no table holds the size 15 AWG that the plan forces; it was chosen instead"


def test_forced_size_ampacity() -> None:
    finding = forced("18 AWG", 11.0)["forced-size-ampacity"]
    assert finding.severity is Severity.ERROR
    assert finding.message == (
        "horn/1: the 18 AWG that the plan forces will not do: it carries 10.3 A there, its current is 11 A"
    )
    assert finding.cure == "Fit 14 AWG."


def test_forced_size_fuse() -> None:
    finding = the_only(forced("18 AWG", 8.0), "forced-size-fuse")
    assert finding.severity is Severity.ERROR
    assert finding.message.endswith("it stands a fuse of up to 10.3 A there, its fuse is 15 A")
    assert finding.cure == "Fit 14 AWG."


def test_forced_size_mechanical() -> None:
    finding = the_only(forced("22 AWG", 0.5), "forced-size-mechanical")
    assert finding.severity is Severity.WARNING
    assert finding.message.endswith("it has 0.326 mm², the least the shop builds with is 0.75 mm²")
    assert finding.cure == "Fit 18 AWG."


def test_forced_size_drop() -> None:
    finding = the_only(forced("18 AWG", 5.0, length_m=10.0), "forced-size-drop")
    assert finding.severity is Severity.WARNING
    assert finding.message == ("horn: in the 18 AWG that the plan forces it drops 12.2 %, more than the 5 % allowed")
    assert finding.cure == "Fit 12 AWG."


def test_a_forced_size_does_not_bind_the_coil() -> None:
    horn = looms.circuit("horn", load_a=5.0, size="10 AWG")
    coil = looms.wire(2, circuit="horn", role=Role.RELAY_COIL, current_a=0.2, fuse="horn")
    way = looms.wire(1, circuit="horn", current_a=5.0, fuse="horn")
    loom = looms.wiring((horn,), (way, coil), (looms.fuse(horn),), (looms.path(horn, (way,)),))
    assert [w.conductor.label for w in size_wiring(loom, looms.bare_rules()).wires] == ["10 AWG", "18 AWG"]


def test_findings_of_expansion_come_first_and_those_of_bundles_last() -> None:
    plan = marsh_hare(looms.circuit("lost", fed_at="panel", load_at=("nowhere",)))
    codes = [finding.code for finding in size_plan(plan).findings]
    assert codes[0] == "unknown-place"


def test_a_plan_without_circuits_has_none() -> None:
    assert size_plan(Plan(Vehicle(), (), (), ())).findings == ()
