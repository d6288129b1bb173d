"""Relays, fuses, and networks that cannot be: named findings, never a traceback, never a NaN."""

from __future__ import annotations

import numpy as np
import pytest

from circuits.network.branches import compile_branches
from circuits.network.elements import (
    Diode,
    Lamp,
    Network,
    NetworkError,
    Node,
    Part,
    Relay,
    Resistor,
    Source,
    Switch,
)
from circuits.network.solve import solve, structure_findings


def network(*elements, nodes: str = "minus plus a b c"):
    """A compiled network on a 12 V battery."""
    battery = Source("battery", "minus", "plus", 12.0, 0.01)
    return compile_branches(Network(tuple(Node(name) for name in nodes.split()), (battery, *elements), "minus"))


def codes(findings) -> set[str]:
    """Codes of findings."""
    return {found.code for found in findings}


def is_sound(solution) -> bool:
    """No figure is anything but a number, and Kirchhoff's law holds."""
    point = solution.point
    return bool(np.isfinite(point.volt_v).all() and np.isfinite(point.current_a).all() and point.is_held)


def test_a_relay_pulls_in_holds_and_lets_go():
    relay = Relay("relay", "a", "minus", "plus", "b", 85.0, pull_in_v=8.0, drop_out_v=1.2)
    lamp = Lamp("lamp", "b", "minus", 12.0, 21.0)
    for ohm, pulled in ((0.1, ("relay",)), (60.0, ())):
        solution = solve(network(Resistor("feed", "plus", "a", ohm), relay, lamp), {})
        assert solution.pulled == pulled
        assert (solution.current_a("lamp") > 1.0) is bool(pulled)
        assert is_sound(solution)


def test_a_relay_that_holds_itself_stays_in():
    relay = Relay("relay", "a", "minus", "plus", "a", 85.0)
    start = Switch("button", "plus", "a", "button", ("pressed",))
    assert solve(network(relay, start), {"button": "pressed"}).pulled == ("relay",)
    assert solve(network(relay, start), {}).pulled == ()


def test_a_relay_once_in_holds_below_the_voltage_it_needs_to_pull_in():
    """Its own load pulls the coil down to 6 V, which holds it, though it would not pull it in."""
    relay = Relay("relay", "a", "minus", "a", "b", 85.0, pull_in_v=8.0, drop_out_v=1.2)
    solution = solve(network(Resistor("feed", "plus", "a", 1.0), relay, Resistor("load", "b", "minus", 1.0)), {})
    assert solution.voltage_v("a") == pytest.approx(6.0, abs=0.1)
    assert (solution.pulled, solution.oscillating) == (("relay",), ())


def test_a_buzzer_is_found_and_named():
    solution = solve(network(Relay("buzzer", "a", "minus", "plus", "a", 85.0, rest_closed=True)), {})
    assert solution.oscillating == ("buzzer",)
    assert codes(solution.findings) == {"relay-oscillates"}
    assert is_sound(solution)


def test_two_relays_that_chase_each_other_are_found():
    one = Relay("one", "a", "minus", "plus", "b", 85.0, rest_closed=False)
    two = Relay("two", "b", "minus", "plus", "a", 85.0, rest_closed=True)
    assert set(solve(network(one, two), {}).oscillating) == {"one", "two"}


def test_the_most_overloaded_fuse_opens_first_and_alone():
    large = Resistor("large", "plus", "a", 0.002, Part.FUSE, rating_a=30.0)
    small = Resistor("small", "a", "b", 0.02, Part.FUSE, rating_a=5.0)
    solution = solve(network(large, small, Resistor("short", "b", "minus", 0.001)), {})
    assert solution.opened == ("small",)
    assert codes(solution.findings) == {"fuse-would-open"}
    assert solution.voltage_v("a") == pytest.approx(12.0)


@pytest.mark.parametrize(("ohm", "opens"), [(12.0 / 13.4 - 0.03, False), (12.0 / 13.6 - 0.03, True)])
def test_a_fuse_opens_at_135_percent(ohm, opens):
    fuse = Resistor("fuse", "plus", "a", 0.02, Part.FUSE, rating_a=10.0)
    assert bool(solve(network(fuse, Resistor("load", "a", "minus", ohm)), {}).opened) is opens


def test_a_floating_node_has_no_voltage_and_is_named():
    branches = network(Resistor("load", "plus", "minus", 6.0), Resistor("loose", "a", "b", 1.0))
    solution = solve(branches, {})
    assert (solution.voltage_v("a"), solution.voltage_v("c"), solution.across_v("a", "minus")) == (None, None, None)
    (found,) = structure_findings(branches)
    assert found.code == "network-floating"
    assert "a, b, c" in found.message
    assert is_sound(solution)


def test_a_source_on_an_island_drives_its_own_current():
    branches = network(Source("torch", "a", "b", 3.0, 1.0), Resistor("bulb", "b", "a", 2.0))
    solution = solve(branches, {})
    assert solution.current_a("bulb") == pytest.approx(1.0)
    assert solution.voltage_v("b") is None


def test_a_short_is_named_and_solved():
    solution = solve(network(Resistor("spanner", "plus", "minus", 0.0)), {})
    assert codes(solution.findings) == {"network-shorted"}
    assert is_sound(solution)
    assert codes(structure_findings(network(Resistor("spanner", "plus", "minus", 0.0)))) >= {"network-zero-ohm"}


def test_a_reversed_battery_is_named_and_solved():
    reversed_ = Network(
        (Node("minus"), Node("plus"), Node("a")),
        (
            Source("battery", "minus", "plus", -12.6, 0.01),
            Resistor("wire", "plus", "a", 0.01),
            Diode("diode", "minus", "a", 1e-9, 0.05),
        ),
        "minus",
    )
    solution = solve(compile_branches(reversed_), {})
    assert "network-reversed" in codes(solution.findings)
    assert solution.current_a("diode") > 100.0
    assert is_sound(solution)


def test_a_network_without_a_battery_is_named():
    dead = compile_branches(Network((Node("a"), Node("b")), (Resistor("wire", "a", "b", 1.0),), "a"))
    assert "network-no-source" in codes(solve(dead, {}).findings)
    assert solve(dead, {}).voltage_v("b") == 0.0


def test_junctions_back_to_back_are_solved_or_named():
    solution = solve(
        network(
            Diode("one", "plus", "a", 1e-12, 0.0362),
            Resistor("wire", "a", "b", 5e-5),
            Diode("two", "minus", "b", 1e-12, 0.0362),
        ),
        {},
    )
    assert is_sound(solution) or codes(solution.findings) & {"network-singular", "network-unsettled"}


@pytest.mark.parametrize(
    "make",
    [
        lambda: Resistor("r", "a", "b", float("nan")),
        lambda: Resistor("r", "a", "b", -1.0),
        lambda: Lamp("lamp", "a", "b", 12.0, 0.0),
        lambda: Source("battery", "a", "b", float("inf"), 0.1),
        lambda: Diode("d", "a", "b", 0.0, 0.05),
        lambda: Relay("k", "a", "b", "a", "b", 85.0, pull_in_v=1.0, drop_out_v=2.0),
        lambda: Network((Node("a"), Node("a")), (), "a"),
        lambda: Network((Node("a"),), (), "b"),
        lambda: Network((Node("a"), Node("b")), (Resistor("r", "a", "b", 1.0), Resistor("r", "b", "a", 1.0)), "a"),
    ],
)
def test_figures_and_names_that_cannot_be_are_refused(make):
    with pytest.raises(NetworkError):
        make()
