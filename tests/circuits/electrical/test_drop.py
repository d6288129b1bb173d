"""Voltage drop against the ABYC tables, the FAA's advisory circular and worked examples, then our own additions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.choice import DropLadder, DropTried
from circuits.electrical.conductors import resistance_ohm
from circuits.electrical.drop import has_bolted_joints, joint_drop_v, way_of, wire_drop_v, with_fuses_v
from circuits.electrical.protection import rate
from circuits.electrical.single import SingleLoad, size_single
from circuits.electrical.sizing import size_wiring
from circuits.plan import Duty, FuseFamily, Kind, Return
from circuits.rules import AmpacityBy, SizingRules
from circuits.sized import Conductor, Limit
from tests.circuits.electrical import looms
from tests.circuits.electrical.published import FEET_M, KILOFEET_M, label, of_resistance, read_rows, rows, worked

K_ABYC = 10.75
"""ABYC E-11: CM = K·I·L/E, L there and back in feet [ohm·circmil/ft]."""

ABYC = [row for row in read_rows("abyc_e11_voltage_drop_tables_12v") if not row["flag"]]
AREAS = read_rows("conductor_area_awg_vs_sae")
SAE_STOCK = tuple(of_resistance(label(r["gauge"]), K_ABYC / float(r["sae_min_area_circmil"]) / FEET_M) for r in AREAS)
AWG_STOCK = tuple(
    of_resistance(label(r["gauge"]), K_ABYC / float(r["awg_area_circmil_catalogue"]) / FEET_M) for r in AREAS
)
FAA = [row for row in read_rows("faa_ac4313_table11_9_copper") if int(row["awg"].lstrip("0") or 0) % 2 == 0]
FAA_STOCK = tuple(
    of_resistance(label(r["awg"]), float(r["max_resistance_ohm_per_kft_20C_tin_plated"]) / KILOFEET_M) for r in FAA
)


def chosen(stock: tuple[Conductor, ...], length_m: float, current_a: float, limit_v: float) -> str:
    """Size that the ladder chooses for a length at 20 °C."""

    def drop_of(size: Conductor) -> DropTried:
        return DropTried(current_a * resistance_ohm(size, length_m, 20.0), limit_v)

    return stock[DropLadder(stock, drop_of).level()].label


@pytest.mark.parametrize(
    "row", ABYC, ids=lambda r: f"{r['source_key']}-{r['round_trip_length_ft']}ft-{r['current_A']}A"
)
def test_drop_alone_chooses_the_gauge_printed_by_abyc(row: dict[str, str]) -> None:
    """ABYC E-11 Table IX (3 %) and the charts A (3 %) and B (10 %) made from it, 12 V, K = 10.75, SAE areas.

    The 13 rows that contradict their own formula are left out. A few printed gauges follow from AWG areas instead.
    """
    limit_v = float(row["system_V"]) * float(row["drop_pct"]) / 100
    length_m = float(row["round_trip_length_ft"]) * FEET_M
    found = {chosen(stock, length_m, float(row["current_A"]), limit_v) for stock in (SAE_STOCK, AWG_STOCK)}
    assert label(row["printed_gauge"]) in found


@pytest.mark.parametrize("row", [row for row in ABYC if row["source_key"] == "chart_A_3pct"])
def test_the_engine_is_never_thinner_than_the_abyc_table(row: dict[str, str]) -> None:
    """ABYC E-11 chart A (3 %): we count the temperature under load, the fuse and the ampacity on top.

    Rows printed from the larger AWG areas only are not thinner either: SAE areas are the smaller ones.
    """
    load = SingleLoad(
        length_m=float(row["round_trip_length_ft"]) / 2 * FEET_M,
        load_a=float(row["current_A"]),
        ambient_c=30.0,
        max_drop_percent=3.0,
        return_by=Return.WIRED,
        fuse_family=FuseFamily.BOLT_IN,
    )
    result = size_single(load, looms.bare_rules())
    order = [size.label for size in SAE_STOCK]
    assert order.index(result.wire.conductor.label) >= order.index(label(row["printed_gauge"])) or result.findings


@pytest.mark.parametrize("identity", ["WE001", "WE005", "WE007"])
def test_faa_table_11_7_sizes(identity: str) -> None:
    """FAA AC 43.13-1B CHG 1 Table 11-7 with the greatest resistances of Table 11-9, even gauges."""
    row = worked(identity)
    given_ = dict(part.split("=") for part in row["inputs"].split(";"))
    length_m = float(given_["length_ft"]) * FEET_M
    found = chosen(FAA_STOCK, length_m, float(given_["current_A"]), float(given_["drop_limit_V"]))
    assert found == label(row["expected_output"])


def test_faa_table_11_7_marginal_row_needs_the_next_size_when_taken_strictly() -> None:
    """FAA AC 43.13-1B Table 11-7 prints No. 4 for 90 ft, 20 A, 0.5 V; No. 4 gives 0.504 V, so that we take No. 2."""
    assert worked("WE003")["expected_output"] == "4"
    assert chosen(FAA_STOCK, 90 * FEET_M, 20.0, 0.504) == "4 AWG"
    assert chosen(FAA_STOCK, 90 * FEET_M, 20.0, 0.5) == "2 AWG"


@pytest.mark.parametrize("identity", ["WE009", "WE011", "WE013", "WE015"])
def test_faa_table_11_8_longest_runs(identity: str) -> None:
    """FAA AC 43.13-1B Table 11-8: longest run of No. 10 at 20 A, chart values rounded down (3 %)."""
    row = worked(identity)
    limit_v = float(dict(part.split("=") for part in row["inputs"].split(";"))["drop_limit_V"])
    ten = next(size for size in FAA_STOCK if size.label == "10 AWG")
    longest_ft = limit_v / (20.0 * resistance_ohm(ten, FEET_M, 20.0))
    assert longest_ft == pytest.approx(float(row["expected_output"]), rel=0.03)


def test_faa_example_1() -> None:
    """FAA AC 43.13-1B example 1: 50 ft, 20 A, 28 V, 1 V: between No. 10 and No. 8, the larger is taken."""
    assert chosen(FAA_STOCK, 50 * FEET_M, 20.0, 1.0) == label(worked("WE017")["expected_output"])


def test_faa_example_2() -> None:
    """FAA AC 43.13-1B example 2: No. 14, 15.5 ft, 20 A is 0.949 V with Table 11-9."""
    fourteen = next(size for size in FAA_STOCK if size.label == "14 AWG")
    drop_v = 20.0 * resistance_ohm(fourteen, 15.5 * FEET_M, 20.0)
    assert drop_v == pytest.approx(float(worked("WE021")["expected_output"]), rel=0.01)


def test_24_v_example_where_ampacity_governs() -> None:
    """Marine chart: 24 V, 3 %, 10 ft there and back, 100 A, 105 °C: the 80 A of 8 AWG force 6 AWG."""
    load = SingleLoad(
        length_m=5 * FEET_M, load_a=100.0, ambient_c=30.0, max_drop_percent=3.0, system_v=24.0,
        return_by=Return.WIRED, fuse_family=FuseFamily.NONE,
    )  # fmt: skip
    result = size_single(load, looms.bare_rules())
    assert result.wire.conductor.label == label(worked("WE039")["expected_output"])
    refused = [trial for trial in result.wire.tried if trial.size == "8 AWG" and trial.limit is Limit.AMPACITY]
    assert [(trial.value, round(trial.allowed, 6), trial.ok) for trial in refused] == [(100.0, 80.0, False)]


def test_10_percent_example() -> None:
    """Marine chart: 12 V, 10 %, 21 ft there and back, 10 A: 16 AWG."""
    load = SingleLoad(
        length_m=10.5 * FEET_M, load_a=10.0, ambient_c=30.0, max_drop_percent=10.0,
        return_by=Return.WIRED, fuse_family=FuseFamily.NONE,
    )  # fmt: skip
    found = size_single(load, looms.bare_rules()).wire.conductor.label
    assert found == label(worked("WE041")["expected_output"])


def test_3_percent_example_with_sae_areas() -> None:
    """Marine catalogue: K 10.75, 10 A, 21 ft there and back, 0.36 V: SAE gauge 10, as 12 has only 5833 circmil."""
    assert chosen(SAE_STOCK, 21 * FEET_M, 10.0, 0.36) == label(worked("WE043")["expected_output"].split()[0])


@pytest.mark.parametrize("identity", ["WE055", "WE057", "WE059"])
def test_drop_over_one_conductor(identity: str) -> None:
    """Towing wiring chart: area, resistance and drop of 5 m of one conductor at its rating."""
    row = worked(identity)
    given_ = dict(part.split("=") for part in row["inputs"].replace(" (single conductor)", "").split(";"))
    size = of_resistance("", float(given_["R_ohm_per_m"]))
    drop_v = float(given_["current_A"]) * resistance_ohm(size, float(given_["length_m"]), 20.0)
    assert drop_v == pytest.approx(float(row["expected_output"]), rel=0.002)


@pytest.mark.parametrize("identity", ["WE061", "WE063", "WE065"])
def test_drop_of_a_100_w_lamp(identity: str) -> None:
    """100 W at 12 V over 20 ft of solid copper (ASTM B258 resistances); 4 % covers its unstated temperature."""
    row = worked(identity)
    gauge = row["inputs"].split(";")[0].removeprefix("awg=")
    ohm_per_kft = next(r for r in rows("awg_astm_b258") if r["awg"] == gauge)["resistance_ohm_per_kft_20C_read"]
    size = of_resistance(gauge, float(ohm_per_kft) / KILOFEET_M)
    current_a = looms.circuit(load_a=None, load_w=100.0).load_current_a(12.0)
    drop_v = current_a * resistance_ohm(size, 20 * FEET_M, 20.0)
    assert drop_v == pytest.approx(float(row["expected_output"]), rel=0.04)


def test_drop_by_the_constant_of_iso_10133() -> None:
    """Worked example with 0.0164 ohm·mm²/m, which is 5 % below copper: 1.6 A, 22 m, 1.5 mm²."""
    drop_v = 1.6 * resistance_ohm(of_resistance("", 0.0164 / 1.5), 22.0, 20.0)
    assert drop_v == pytest.approx(float(worked("WE047")["expected_output"]), rel=0.02)


@pytest.mark.parametrize(("identity", "watts"), [("WE045", 25.0), ("WE051", 50.0)])
def test_current_of_a_load_in_watts(identity: str, watts: float) -> None:
    """Catalogue examples: 25 W and 50 W at 12 V."""
    current_a = looms.circuit(load_a=None, load_w=watts).load_current_a(12.0)
    assert current_a == pytest.approx(float(worked(identity)["expected_output"]), rel=0.01)


@pytest.mark.parametrize(("identity", "drop_v", "system_v"), [("WE049", 4.0, 24.0), ("WE053", 0.265, 12.0)])
def test_drop_as_a_share_of_the_system_voltage(identity: str, drop_v: float, system_v: float) -> None:
    """Worked examples: 4 V of 24 V, 0.265 V of 12 V; made here by a chassis of that drop at 10 A."""
    load = SingleLoad(
        length_m=1e-9, load_a=10.0, system_v=system_v, max_drop_percent=50.0,
        chassis_resistance_ohm=drop_v / 10, fuse_family=FuseFamily.NONE,
    )  # fmt: skip
    found = size_single(load, looms.bare_rules()).circuit.drop_percent
    assert found == pytest.approx(float(worked(identity)["expected_output"]), rel=0.005)


def test_wire_is_taken_at_the_temperature_of_its_current() -> None:
    """14 AWG, 105 °C, 30 °C ambient, 17.5 of 35 A: 30 + 75/4 = 48.75 °C; by hand 17.5 × 0.0091905 × 3 × 1.113."""
    size = of_resistance("14 AWG", 0.0172414 / 1.876)
    rules = SizingRules(insulation_class_c=105, ampacity_by=AmpacityBy.TABLE)
    drop_v = wire_drop_v(looms.wire(1, current_a=17.5), size, rules)
    assert drop_v == pytest.approx(17.5 * 0.0172414 / 1.876 * 3 * (1 + 0.00393 * 28.75))


def test_joints_chassis_and_fuse_are_counted() -> None:
    """6 joints of 1 mohm, 5 mohm of chassis and a 15 A fuse of 4.8 mohm at 9 A, without any wire."""
    lamp = looms.circuit(load_a=9.0)
    rated = rate(looms.fuse(lamp), SizingRules())
    out, back = looms.wire(1, current_a=9.0), looms.wire(2, current_a=9.0)
    path = looms.path(lamp, (out,), (back,), contacts=6, through_chassis=True)
    way = way_of(path, {"lamp/1": out, "lamp/2": back}, [rated], contact_ohm=0.001, bolted=False, chassis_ohm=0.005)
    none = {"lamp/1": 0.0, "lamp/2": 0.0}
    assert way.drop_v(none, at_any_load=False) == pytest.approx(9 * (0.006 + 0.005 + 0.0048))
    assert way.outward_drop_v(none, at_any_load=False) == pytest.approx(9 * (0.004 + 0.0048))


def test_joints_and_chassis_carry_the_current_of_the_trunk() -> None:
    lamp = looms.circuit(load_a=4.0)
    trunk, leg = looms.wire(1, current_a=8.0), looms.wire(2, current_a=4.0)
    path = looms.path(lamp, (trunk, leg), contacts=4, through_chassis=True)
    way = way_of(path, {"lamp/1": trunk, "lamp/2": leg}, [], contact_ohm=0.001, bolted=False, chassis_ohm=0.005)
    assert way.drop_v({"lamp/1": 0.0, "lamp/2": 0.0}, at_any_load=False) == pytest.approx(8 * 0.004 + 8 * 0.005)


def test_bolted_joints_are_a_tenth_and_no_joint_grows_beyond_30_a() -> None:
    assert joint_drop_v(20.0, 0.001, bolted=False) == pytest.approx(0.020)
    assert joint_drop_v(20.0, 0.001, bolted=True) == pytest.approx(0.002)
    assert joint_drop_v(90.0, 0.001, bolted=False) == pytest.approx(0.030)
    assert joint_drop_v(500.0, 0.001, bolted=True) == pytest.approx(0.030)


def test_feeders_bolted_fuses_and_cranking_cables_have_bolted_joints() -> None:
    def bolted(**changed: object) -> bool:
        one = looms.circuit(**changed)  # type: ignore[arg-type]
        return has_bolted_joints(
            one, None if one.fuse_family is FuseFamily.NONE else rate(looms.fuse(one), SizingRules())
        )

    assert bolted(kind=Kind.FEEDER)
    assert bolted(fuse_family=FuseFamily.BOLT_IN)
    assert bolted(fuse_family=FuseFamily.NONE)
    assert not bolted()
    assert not bolted(fuse_family=FuseFamily.NONE, feed="another circuit")


def test_a_smaller_fuse_at_its_fullest_counts_where_it_drops_more() -> None:
    """At 7.6 A a 15 A fuse drops 36 mV, but at 7.5 A a 10 A fuse drops 58 mV: with 0.1 V of wire the latter is more."""
    rated = rate(looms.fuse(looms.circuit(load_a=7.6)), SizingRules())
    assert rated.held_a == 15.0
    assert with_fuses_v(0.1, [rated], at_any_load=True) == pytest.approx(0.1 * 7.5 / 7.6 + 7.5 * 0.00769)
    assert with_fuses_v(5.0, [rated], at_any_load=True) == pytest.approx(5.0 + 7.6 * 0.0048)
    assert with_fuses_v(0.1, [rated], at_any_load=False) == pytest.approx(0.1 + 7.6 * 0.0048)


@given(
    st.floats(0.1, 35.0), st.floats(0.1, 35.0), st.floats(0, 0.2), st.sampled_from(FuseFamily), st.sampled_from(Duty)
)
def test_more_load_never_drops_less(
    one_a: float, other_a: float, way_ohm: float, family: FuseFamily, duty: Duty
) -> None:
    if family is FuseFamily.NONE:
        return

    def drop_v(load_a: float) -> float:
        fuse = looms.fuse(looms.circuit(load_a=load_a, fuse_family=family, duty=duty))
        return with_fuses_v(load_a * way_ohm, [rate(fuse, SizingRules())], at_any_load=True)

    assert drop_v(min(one_a, other_a)) <= drop_v(max(one_a, other_a)) + 1e-12


def test_worst_of_several_ways_counts() -> None:
    """Two lamps, one 2 m and one 6 m from the splice."""
    lamp = looms.circuit(load_a=2.0, load_at=("near", "far"))
    trunk = looms.wire(1, current_a=4.0, length_m=1.0)
    near, far = looms.wire(2, current_a=2.0, length_m=2.0), looms.wire(3, current_a=2.0, length_m=6.0)
    paths = (looms.path(lamp, (trunk, near)), looms.path(lamp, (trunk, far)))
    sized = size_wiring(
        looms.wiring((lamp,), (trunk, near, far), (looms.fuse(lamp, 4.0),), paths), looms.bare_rules()
    ).circuits[0]
    drops = {one.wire.name: one.drop_v for one in sized.wires}
    assert sized.drop_v == pytest.approx(drops["lamp/1"] + drops["lamp/3"] + 4.0 * 0.01091, rel=1e-6)
