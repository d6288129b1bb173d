"""Wires through connectors: cut at pairs in the loom, seated in the cavities that list them, else left as they were."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.sizing import size_plan
from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.harness.connectors import passed_places
from circuits.network.build import build_network
from circuits.network.solve import solve
from circuits.patterns import expand
from circuits.plan import Plan
from circuits.wiring import End, Lands, Wire, Wiring
from tests.circuits.cast import HORN, marsh_hare, only
from tests.circuits.connected import connected
from tests.circuits.looms import woven_plans


def wires_of(wiring: Wiring, circuit: str) -> list[Wire]:
    return [wire for wire in wiring.wires if wire.circuit == circuit]


def seats(wires: list[Wire]) -> list[tuple[str, str]]:
    return [tuple(f"{end.connector}.{end.cavity}" for end in (wire.start, wire.end)) for wire in wires]  # type: ignore[misc]


def test_a_wire_that_passes_a_pair_becomes_two_numbered_from_supply_to_load():
    wires = wires_of(expand(connected()), "horn")
    assert [wire.name for wire in wires] == [f"horn/{number}" for number in range(1, 6)]
    assert seats(wires) == [
        (".", "."),  # fuse to a switch whose body lists it no cavity
        (".", "C2.2"),
        ("C1.2", "C7.+"),
        ("C7.-", "C1.3"),
        ("C2.3", "."),
    ]
    assert [(wire.path.places[0], wire.path.places[-1]) for wire in wires[1:3]] == [
        ("dash", "bulkhead"), ("bulkhead", "nose"),
    ]  # fmt: skip


def test_the_socket_half_faces_the_supply_and_a_return_meets_the_pin_half_first():
    out, back = wires_of(expand(connected()), "horn")[1:3], wires_of(expand(connected()), "horn")[3:]
    assert [out[0].end.half, out[1].start.half] == [Half.SOCKET, Half.PIN]
    assert [back[0].end.half, back[1].start.half] == [Half.PIN, Half.SOCKET]


def test_a_pair_of_which_one_half_is_written_down_has_two_halves_of_one_name():
    before, after = wires_of(expand(connected()), "tail lamps")[1:3]
    assert (before.end.connector, before.end.half) == ("C3", Half.SOCKET)
    assert (after.start.connector, after.start.half) == ("C3", Half.PIN)
    assert after.end.lands is Lands.SPLICE, "a splice at the place of a pair lies behind it"


def test_both_pieces_are_cut_with_their_own_end_allowances():
    whole, cut = expand(replace(connected(), connectors=(), cavities=())), expand(connected())
    [long] = [wire for wire in wires_of(whole, "tail lamps") if wire.end.place == "tail"]
    parts = [wire for wire in wires_of(cut, "tail lamps") if "C3" in (wire.end.connector, wire.start.connector)]
    assert sum(wire.path.length_m for wire in parts) == pytest.approx(long.path.length_m)
    assert sum(wire.length_m for wire in parts) == pytest.approx(long.length_m + 0.2)


def test_a_cut_adds_two_joints_and_a_contact_pair_to_the_way_of_the_current():
    whole, cut = expand(replace(connected(), connectors=(), cavities=())), expand(connected())
    before, after = (next(path for path in wiring.paths if path.circuit == "horn") for wiring in (whole, cut))
    assert after.contacts == before.contacts + 2 * 3, "cut on the way out and on the way back"
    assert (after.out, after.back) == (("horn/1", "horn/2", "horn/3"), ("horn/4", "horn/5"))


def test_a_switch_takes_in_and_out_and_a_lamp_in_and_return():
    wires = wires_of(expand(connected()), "dip beam")
    assert seats(wires)[0] == (".", "C6.a")
    assert seats(wires)[1] == ("C6.b", "C2.1")
    ends = {(end.place, end.connector, end.cavity) for wire in wires for end in (wire.start, wire.end)}
    assert {(f"{side} lamp", body, cavity) for side, body in (("left", "C4"), ("right", "C5"))
            for cavity in ("56b", "31")} <= ends  # fmt: skip


def test_a_relay_takes_its_numbered_cavities():
    body = Connector("K1", "bulkhead", half=Half.SOCKET)
    cavities = tuple(Cavity("K1", holds.value, "dip beam", holds) for holds in list(Holds)[3:])
    wiring = expand(replace(marsh_hare(), connectors=(body,), cavities=cavities))
    ends = [end for wire in wires_of(wiring, "dip beam") for end in (wire.start, wire.end)]
    assert {(end.terminal, end.cavity) for end in ends if end.lands is Lands.RELAY} == {
        (terminal, terminal) for terminal in ("30", "85", "86", "87")
    }


def test_the_loop_to_a_switch_takes_in_then_out_of_one_pair():
    pair = Connector("C9", "panel", in_loom=True)
    horn = replace(HORN, fed_at="bulkhead", load_at=("nose",))
    cavities = (Cavity("C9", "2", "horn", Holds.OUT), Cavity("C9", "1", "horn", Holds.IN))
    wiring = expand(replace(only(horn), connectors=(pair,), cavities=cavities))
    cut = [wire.end.cavity for wire in wires_of(wiring, "horn") if wire.end.lands is Lands.CONNECTOR]
    assert cut == ["1", "2"]


def test_a_pair_does_not_cut_what_it_does_not_list():
    wiring = expand(connected())
    assert [wire.name for wire in wires_of(wiring, "main feed")] == ["main feed/1"]


def test_the_current_of_a_load_passes_every_contact_of_its_pairs():
    solved = solve(build_network(size_plan(connected())).branches, {"horn": "on"})
    through = solved.current_a("load: horn at nose of horn")
    assert through == pytest.approx(5.0, rel=0.1)
    for cavity in ("2", "3"):
        assert solved.current_a(f"contact of connector: C2 cavity {cavity}") == pytest.approx(through)


def every_seat(wiring: Wiring) -> Counter[tuple[str, str, Half | None]]:
    """Number of ends in each cavity of each half."""
    ends = (end for wire in wiring.wires for end in (wire.start, wire.end))
    return Counter((end.connector, end.cavity, end.half) for end in ends if end.connector)


@st.composite
def fitted_plans(draw: st.DrawFn) -> Plan:
    """A plan that uses every pattern, with pairs where wires pass, bodies anywhere, and cavities for any circuit."""
    plan = draw(woven_plans())
    names = [circuit.name for circuit in plan.circuits]
    passing = [(wire.path.places[at], wire.circuit) for wire in expand(plan).wires for at in passed_places(wire)]
    bodies, cavities = [], []
    for number in range(draw(st.integers(1, 3))):
        name, mate = f"C{number}", draw(st.sampled_from(("", "C0", "C1", "C9")))
        in_loom = draw(st.booleans())
        place = draw(st.sampled_from([one for one, _ in passing] if in_loom and passing else plan.places))
        bodies.append(Connector(name, place, "a", draw(st.sampled_from(Half)), in_loom=in_loom, mates_with=mate))
        here = [circuit for one, circuit in passing if one == place] if in_loom else []
        held = draw(st.lists(st.tuples(st.sampled_from(here or names), st.sampled_from(Holds)), max_size=6))
        cavities += [Cavity(name, str(label), circuit, holds) for label, (circuit, holds) in enumerate(held)]
    return replace(plan, connectors=tuple(bodies), cavities=tuple(cavities))


@given(fitted_plans())
def test_every_cavity_holds_one_end_and_nothing_else_changes(plan: Plan):
    wiring, bare = expand(plan), expand(replace(plan, connectors=(), cavities=()))
    assert all(count == 1 for count in every_seat(wiring).values())
    assert [joined(wiring, circuit.name) for circuit in plan.circuits] == [
        joined(bare, circuit.name) for circuit in plan.circuits
    ]
    names = {wire.name for wire in wiring.wires}
    for path in wiring.paths:
        assert {*path.out, *path.back} <= names


def joined(wiring: Wiring, circuit: str) -> list[tuple[str, tuple[int, ...], str, float]]:
    """Wires as they would be without the pairs: pieces put together again."""
    whole: list[tuple[End, tuple[int, ...], End, float]] = []
    for wire in wires_of(wiring, circuit):
        if wire.start.lands is Lands.CONNECTOR:
            start, runs, end, current_a = whole.pop()
            assert (end.device, current_a) == (wire.start.device, wire.current_a)
            whole.append((start, runs + wire.path.runs, wire.end, current_a))
        else:
            whole.append((wire.start, wire.path.runs, wire.end, wire.current_a))
    return [(start.device, runs, end.device, current_a) for start, runs, end, current_a in whole]


def test_a_plan_of_connectors_without_cavities_is_wired_as_one_without_connectors():
    wired = expand(connected(cavities=()))
    assert wired.wires == expand(connected(connectors=(), cavities=())).wires
