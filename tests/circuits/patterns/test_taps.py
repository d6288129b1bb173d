"""Current that circuits take off the one that feeds them, and how far it is carried."""

from __future__ import annotations

from dataclasses import replace

import pytest

from circuits.patterns import expand
from circuits.patterns.taps import Tapped, reaches, taps
from circuits.plan import Circuit, Kind
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, MAIN, TAIL, only

RADIO = Circuit("radio", "dash", "horn", "dash", "radio", ("panel",), Kind.ELECTRONICS, load_a=3.0)


def tapped(*circuits: Circuit) -> dict[str, Tapped]:
    return taps({circuit.name: circuit for circuit in circuits}, 12.0)


@pytest.mark.parametrize(
    ("fed_at", "expected"),
    [
        ("nose", Tapped((3.0,), 0.0, 0.0)),  # at the load
        ("dash", Tapped((0.0,), 3.0, 0.0)),  # at the switch
        ("panel", Tapped((0.0,), 0.0, 3.0)),  # at the fuse
        ("tail", Tapped((3.0,), 0.0, 0.0)),  # nowhere near: the whole way is loaded
    ],
)
def test_current_is_carried_to_where_it_is_taken_off(fed_at: str, expected: Tapped):
    assert tapped(HORN, replace(RADIO, fed_at=fed_at)) == {"horn": expected}


@pytest.mark.parametrize(
    ("fed_at", "currents_a"),
    [("nose", (8.0, 8.0, 5.0)), ("dash", (8.0, 5.0, 5.0)), ("panel", (5.0, 5.0, 5.0)), ("tail", (8.0, 8.0, 5.0))],
)
def test_wires_up_to_the_tap_carry_it_and_the_fuse_always(fed_at: str, currents_a: tuple[float, ...]):
    wiring = expand(only(HORN, replace(RADIO, fed_at=fed_at)))
    assert tuple(w.current_a for w in wiring.wires if w.circuit == "horn") == pytest.approx(currents_a)
    assert wiring.protections[0].load_a == pytest.approx(8.0)


def test_a_tap_at_one_of_several_loads_is_carried_on_its_way_only():
    radio = replace(RADIO, feed="tail lamps", fed_at="right tail")
    currents = {w.name: w.current_a for w in expand(only(TAIL, radio)).wires}
    lamp_a = 5 / 12
    assert currents["tail lamps/2"] == pytest.approx(2 * lamp_a + 3.0)  # switch to splice
    assert currents["tail lamps/3"] == pytest.approx(lamp_a)  # left
    assert currents["tail lamps/4"] == pytest.approx(lamp_a + 3.0)  # right


def test_a_relay_is_tapped_at_the_relay_and_never_at_the_switch_of_its_coil():
    assert reaches(DIP) == ("left lamp", "right lamp", "bulkhead", "panel")
    assert tapped(DIP, replace(RADIO, feed="dip beam", fed_at="bulkhead"))["dip beam"].at_supply == 3.0
    assert tapped(DIP, replace(RADIO, feed="dip beam", fed_at="dash"))["dip beam"].at_loads == (3.0, 0.0)


def test_what_hangs_on_a_taker_is_carried_too():
    lamp = replace(RADIO, name="lamp", feed="radio", fed_at="panel", load_a=1.0)
    found = tapped(HORN, RADIO, lamp)
    assert found == {"horn": Tapped((0.0,), 4.0, 0.0), "radio": Tapped((1.0,), 0.0, 0.0)}


def test_feeders_state_all_they_feed_and_senders_take_nothing():
    assert tapped(MAIN, replace(RADIO, feed="main feed"), GAUGES, FUEL) == {}
