"""Old for new against published rows (gates of fuses, flasher rates, lamp loads), and each cure applied."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from circuits.electrical.flashers import (
    Flashing,
    cycle_rates_per_min,
    flashers,
    flashing,
    is_rate_allowed,
    mean_rate_per_min,
)
from circuits.electrical.gates import latest
from circuits.electrical.lamps import filament_lamp, filament_lamps, led_for
from circuits.electrical.old_fuses import AT_ONCE_S, new_for_old, old_fuse, old_fuses
from circuits.electrical.protection import standard_fuses
from circuits.electrical.sizing import size_plan
from circuits.electrical.tables import read_rows
from circuits.findings import Finding, Severity
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan
from circuits.units import parse_power_w
from tests.circuits.cast import HORN, only
from tests.circuits.electrical.cures import refused
from tests.circuits.electrical.published import rows

EVERY_OLD = [(old.kind, rating_a) for old in old_fuses() for rating_a in old.ratings_a]


@pytest.mark.parametrize(("kind", "old_a"), EVERY_OLD)
def test_blade_in_place_of_a_tube_opens_no_later_and_no_larger_one_does(kind: str, old_a: float):
    new, old = new_for_old(kind, old_a), old_fuse(kind)
    assert new.protects_a is not None
    blade = latest(FuseFamily.BLADE)

    def is_later(rating_a: float) -> bool:
        currents = [old.opening.multiples[0] * old_a * 1.002**step for step in range(1300)]
        return any(blade.at(i / rating_a) > max(AT_ONCE_S, old.opening.at(i / old_a)) * 1.01 for i in currents)

    assert not is_later(new.protects_a)
    larger = [fuse.rating_a for fuse in standard_fuses(FuseFamily.BLADE) if fuse.rating_a > new.protects_a]
    assert all(is_later(rating_a) for rating_a in larger)


def test_ratings_of_tubes_are_those_published():
    published: dict[str, set[float]] = {"length-graded glass": set(), "cone-ended ceramic": set()}
    for row in rows("fuse_tube"):
        kind = "length-graded glass" if row["fuse_type"].startswith("SAE") else "cone-ended ceramic"
        published[kind].add(float(row["rated_current_A"]))
    assert {kind: set(old_fuse(kind).ratings_a) for kind in published} == published


KIND_OF_GATE = {
    "IEC 60127-2 (fast)": "glass cartridge (IEC, fast)",
    "UL 248-14": "glass cartridge (UL)",
    "SAE J554": "length-graded glass",
}


def test_gates_of_old_fuses_are_those_published():
    held = {(r["kind"], float(r["percent"])): (r["min_s"], r["max_s"]) for r in read_rows("old_fuse_gates")}
    tried = 0
    for row in rows("fuse_time_gates"):
        kind = KIND_OF_GATE.get(row["standard"])
        if kind is None or "0.032" in row["fuse_type"] or "35-60" in row["fuse_type"]:
            continue
        shortest, longest = held[kind, float(row["percent_of_rating"])]
        assert [float(longest or 0)] == [float(row["max_time_s"] or 0)], row
        assert not row["min_time_s"] or float(shortest) == float(row["min_time_s"]), row
        tried += 1
    assert tried >= 11


def test_a_tube_marked_by_its_blowing_current_gives_way_to_a_much_smaller_blade():
    assert new_for_old("glass marked by its blowing current", 35.0).fit_a == 20.0


def test_where_the_load_asks_for_more_the_currents_are_told_at_which_the_blade_opens_later():
    new = new_for_old("length-graded glass", 14.0, load_a=9.0)
    assert (new.protects_a, new.carries_a, new.protects_as_well) == (10.0, 15.0, False)
    assert new.later_from_a == pytest.approx(1.35 * 14.0)
    assert new.later_to_a < 2.0 * 15.0


@pytest.mark.parametrize("row", rows("flasher_examples"), ids=lambda row: row["case"])
def test_rates_of_published_flash_patterns_are_met(row: dict[str, str]):
    on_ms, short, third = (float(row[name]) for name in ("on_ms", "short_off_ms", "third_off_ms"))
    rates = cycle_rates_per_min(on_ms, (short, short, third))
    assert rates[0] == pytest.approx(float(row["rate_cycles_1_2_per_min"]), abs=0.05)
    assert rates[2] == pytest.approx(float(row["rate_cycle_3_per_min"]), abs=0.05)
    assert mean_rate_per_min(on_ms, (short, short, third)) == pytest.approx(
        float(row["mean_of_rates_per_min"]), abs=0.05
    )


def test_published_rate_limits_are_held_to():
    limits = {row["quantity"]: row for row in rows("flasher_limits")}
    for contact, name in (
        ("open", "normally-open flasher (SAE J945 in FMVSS 108)"),
        ("closed", "normally-closed flasher"),
    ):
        row = limits[f"flash rate, {name}"]
        least, most = float(row["min"]), float(row["max"])
        judged = [is_rate_allowed(rate, contact) for rate in (least - 1, least, most, most + 1)]
        assert judged == [False, True, True, False]
    lit = next(row for row in read_rows("flasher_limits") if row["quantity"] == "share of the cycle lit")
    published = limits["percent on-time, turn-signal flasher"]
    assert (lit["min"], lit["max"]) == (published["min"], published["max"])


def test_every_flasher_works_with_the_lamps_it_was_made_for_and_only_some_with_led():
    assert {flashing(one.kind, 42.0, 42.0) for one in flashers()} == {Flashing.NORMAL}
    led_w = 2 * led_for(filament_lamp("P21W")).led_w
    assert [flashing(one.kind, led_w, 42.0) for one in flashers()] == [
        Flashing.WRONG, Flashing.NORMAL, Flashing.FAST, Flashing.NORMAL,
    ]  # fmt: skip


@pytest.mark.parametrize(
    "row", [r for r in rows("lamps_trade_number") if r["design_current_A"]], ids=lambda r: r["trade_number"]
)
def test_lamps_by_trade_number_draw_what_is_published(row: dict[str, str]):
    lamp = filament_lamp(row["trade_number"], row["filament"])
    assert lamp.drawn_a == pytest.approx(float(row["design_current_A"]), abs=0.001)
    assert lamp.drawn_w == pytest.approx(float(row["power_W"]))


@pytest.mark.parametrize("row", [r for r in rows("lamps_un_r37") if r["objective_W"]], ids=lambda r: r["category"])
def test_lamps_by_category_draw_what_is_published(row: dict[str, str]):
    lamp = filament_lamp(row["category"], row["filament"].split(" ")[0])
    assert lamp.rated_w == float(row["rated_W_at_12V"])
    assert lamp.drawn_w == pytest.approx(float(row["objective_W"]), rel=0.1)  # two sheets differ by their tolerance
    assert lamp.flux_lm == float(row["luminous_flux_lm"])


def test_an_led_draws_less_than_its_filament_and_the_resistor_makes_up_the_rest():
    for lamp in filament_lamps():
        led = led_for(lamp)
        assert 0 < led.led_w <= lamp.drawn_w / 2
        assert led.led_a + lamp.at_v / led.resistor_ohm == pytest.approx(lamp.drawn_a)
        assert led.led_w + led.resistor_w == pytest.approx(lamp.drawn_w)


def found(plan: Plan, code: str) -> list[Finding]:
    return [finding for finding in size_plan(plan).findings if finding.code == code]


def led(name: str, load: str, watts: float, **changed: object) -> Circuit:
    return Circuit(
        name, "rear", "ignition", "panel", load, ("left tail", "right tail"), Kind.LED, load_w=watts,
        **({"duty": Duty.INTERMITTENT} | changed),  # type: ignore[arg-type]
    )  # fmt: skip


@pytest.mark.parametrize("load_a", [2.0, 5.0, 9.0, 12.0, 19.0])
def test_a_glass_fuse_is_told_its_blade_and_fitting_that_removes_the_note_and_harms_no_wire(load_a: float):
    plan = only(replace(HORN, load_a=load_a, load_w=None, fuse_family=FuseFamily.GLASS, duty=Duty.CONTINUOUS))
    [told] = found(plan, "glass-to-blade")
    cured = refused(plan, told)
    assert cured
    sized = size_plan(cured)
    assert not [f for f in sized.findings if f.code == "glass-to-blade" or f.severity is Severity.ERROR]


def test_led_behind_an_old_flasher_are_told_and_an_electronic_flasher_or_their_full_load_cures_it():
    circuit = led("indicators left", "indicator", 4.0)
    [told] = found(only(circuit), "flasher-led-load")
    note = re.search(r"note it: (.+)\.$", told.cure)
    assert note
    assert not found(only(replace(circuit, notes=note[1])), "flasher-led-load")
    assert not found(only(replace(circuit, load_w=21.0)), "flasher-led-load")
    assert not found(only(replace(circuit, kind=Kind.LAMP)), "flasher-led-load")


@pytest.mark.parametrize(
    ("name", "flashes"),
    [("trailer indicator left", True), ("right turn lamps", True), ("hazard flasher", True), ("gear indicator", False)],
)
def test_a_telltale_is_not_taken_for_a_flashing_lamp(name: str, flashes: bool):
    assert bool(found(only(led(name, "lamp", 1.0)), "flasher-led-load")) == flashes


def test_an_led_charge_lamp_is_told_and_a_filament_or_a_resistor_cures_it():
    circuit = led("alternator exciter", "charge warning lamp", 0.3)
    [told] = found(only(circuit), "charge-lamp-led")
    resistor = re.search(r"at most (\d+) ohm", told.cure)
    assert resistor
    both_a = 0.3 / 12 + 12 / float(resistor[1])
    assert not found(only(replace(circuit, load_w=None, load_a=round(both_a, 3))), "charge-lamp-led")
    assert not found(only(replace(circuit, kind=Kind.LAMP, load_w=3.0)), "charge-lamp-led")


def test_led_that_a_unit_watches_are_told_and_taking_them_off_its_watch_cures_it():
    unit = replace(HORN, name="lamp failure unit", kind=Kind.ELECTRONICS, load="lamp failure unit")
    tails = led("tail lamps", "tail lamp", 1.0)
    assert not found(only(tails), "lamp-check-led")
    [told] = found(only(tails, unit), "lamp-check-led")
    note = re.search(r"note it: (.+)\.$", told.cure)
    assert note
    assert not found(only(replace(tails, notes=note[1]), unit), "lamp-check-led")


def test_an_led_with_a_filaments_load_is_told_and_its_own_load_cures_it():
    circuit = led("stop lamps", "stop lamp P21W", 21.0)
    [told] = found(only(circuit), "led-load-of-filament")
    own = re.search(r"about ([\d.]+ W)", told.cure)
    assert own
    assert not found(only(replace(circuit, load_w=parse_power_w(own[1]))), "led-load-of-filament")
