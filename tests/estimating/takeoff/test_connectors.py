"""What connectors need: bodies, contacts by series and size instead of plain terminals, plugs, joints to bare leads."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from hypothesis import given

from circuits.electrical.sizing import size_plan
from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.plan import Disposition, Plan
from estimating.answer import answer
from estimating.labour.count import count_elements
from estimating.pricing.price_book_csv import example_price_book
from estimating.purchasing.cut_list import cut_list
from estimating.purchasing.kits import Kit, KitState
from estimating.takeoff.parts import PartKind
from estimating.takeoff.scope import is_spliced
from estimating.takeoff.takeoff import needs_of, take_off
from estimating.workup import work_up
from tests.circuits.connected import connected, with_connector
from tests.circuits.patterns.test_fitted import fitted_plans


def counted(plan: Plan, kind: PartKind) -> dict[str, float]:
    return {part.spec: part.quantity for part in take_off(size_plan(plan)) if part.kind is kind}


def test_both_halves_of_a_pair_and_the_looms_half_on_a_device_are_bought():
    assert counted(connected(), PartKind.CONNECTOR) == {
        "flat 6.3, pin, 4-way": 1,
        "flat 6.3, socket, 4-way": 1,
        "horn 2, socket, 2-way": 1,
        "lamp 3, socket, 3-way": 2,
        "sealed 2.8, pin, 6-way": 1,
        "sealed 2.8, socket, 6-way": 1,
        "switch 8, socket, 8-way": 1,
    }


def test_ends_in_cavities_take_contacts_of_the_series_by_wire_size_and_no_other_terminal():
    bare = counted(connected(connectors=(), cavities=()), PartKind.TERMINAL)
    fitted = counted(connected(), PartKind.TERMINAL)
    contacts = {spec: number for spec, number in fitted.items() if "contact" in spec}
    assert sum(fitted.values()) - sum(bare.values()) == 2 * 4, "each cut adds a contact on either side"
    horn = {spec: number for spec, number in contacts.items() if "horn 2" in spec}
    assert horn == {"socket contact horn 2, 16-14 AWG (1.5-2.5 mm²)": 2}
    pairs = Counter(
        spec.split(" contact ")[0] for spec, n in contacts.items() if "sealed" in spec for _ in range(int(n))
    )
    assert pairs == {"pin": 3, "socket": 3}


def test_a_sealed_body_is_plugged_where_nothing_sits_and_another_is_not():
    assert counted(connected(), PartKind.CAVITY_PLUG) == {"sealed 2.8": 2 * 3}
    assert counted(with_connector(connected(), "C4", notes="Sealed."), PartKind.CAVITY_PLUG)["lamp 3"] == 1


def test_a_body_whose_wires_all_stay_stays_too():
    kept = replace(connected(), circuits=tuple(
        replace(circuit, disposition=Disposition.KEEP) if circuit.name == "horn" else circuit
        for circuit in connected().circuits
    ))  # fmt: skip
    assert "horn 2, socket, 2-way" not in counted(kept, PartKind.CONNECTOR)


def test_the_leads_of_a_unit_are_joined_and_it_has_no_body_to_buy():
    unit = Connector("U1", "dash", half=Half.LEADS)
    cavities = (Cavity("U1", "supply", "gauges"), Cavity("U1", "ground", "gauges", Holds.RETURN))
    plain = connected()
    married = replace(plain, connectors=(*plain.connectors, unit), cavities=(*plain.cavities, *cavities))
    assert counted(married, PartKind.CONNECTOR) == counted(plain, PartKind.CONNECTOR)
    joints = [sum(counted(plan, PartKind.SPLICE).values()) for plan in (plain, married)]
    terminals = [sum(counted(plan, PartKind.TERMINAL).values()) for plan in (plain, married)]
    assert (joints[1] - joints[0], terminals[0] - terminals[1]) == (2, 2)


def test_every_part_of_connectors_has_an_example_price_and_bodies_take_minutes():
    sized = size_plan(connected())
    book = example_price_book()
    ours = [p for p in take_off(sized) if p.kind in (PartKind.CONNECTOR, PartKind.CAVITY_PLUG) or "contact" in p.spec]
    assert ours
    assert all(book.find(part.kind, part.spec) for part in ours)
    counts = [row.count for row in count_elements(sized, needs_of(sized)) if row.element == "connector"]
    assert sum(counts) == 8


@given(fitted_plans())
def test_every_end_of_a_fresh_wire_is_finished_once(plan: Plan):
    sized = size_plan(plan)
    terminals = [need for need in needs_of(sized) if need.kind is PartKind.TERMINAL]
    ends = [end for one in sized.wires if not one.wire.is_existing for end in (one.wire.start, one.wire.end)]
    assert sum(need.quantity for need in terminals) == sum(not is_spliced(end) for end in ends)


def test_the_cut_list_and_the_answer_name_the_cavity_of_each_end():
    sized = size_plan(connected())
    rows = {row.number: row for row in cut_list(sized, Kit("J-1", KitState.UNPLANNED, ()))}
    assert (rows["horn/2"].end.device, rows["horn/2"].end.terminal) == (
        "C2 cavity 2",
        "socket contact sealed 2.8, 16-14 AWG (1.5-2.5 mm²)",
    )
    assert rows["horn/3"].end.device == "load: horn, C7 cavity +"
    [horn] = [one for one in answer(work_up(connected()))["circuits"] if one["circuit"] == "horn"]
    assert [(wire["from_cavity"], wire["to_cavity"]) for wire in horn["wires"]][1:3] == [
        ("", "C2 cavity 2"), ("C1 cavity 2", "C7 cavity +"),
    ]  # fmt: skip
