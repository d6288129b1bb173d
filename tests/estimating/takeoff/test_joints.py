"""Splices, repairs, and caps on leads that end in nothing."""

import pytest

from circuits.plan import Disposition
from circuits.wiring import Device, Lands
from estimating.takeoff.parts import PartKind
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.takeoff import take_off
from tests.estimating.takeoff.builders import circuit, conductor, end, sized_plan, sized_wire

SPLICE = end(Lands.SPLICE, "rear", "splice: tail")


def counted(parts, kind):
    return {part.spec: part.quantity for part in parts if part.kind is kind}


def test_a_splice_takes_the_side_with_more_copper():
    tail = circuit("tail")
    size = conductor("16 AWG", 1.31, 3.0)
    wires = [
        sized_wire(tail, 1, size=size, finish=SPLICE),
        sized_wire(tail, 2, size=size, start=SPLICE),
        sized_wire(tail, 3, size=size, start=SPLICE),
        sized_wire(tail, 4, size=size, start=SPLICE),
    ]
    device = Device(SPLICE.device, Lands.SPLICE, "rear", ("tail",), 3.0)
    parts = take_off(sized_plan([tail], wires, devices=[device]))
    assert counted(parts, PartKind.SPLICE) == {"12-10 AWG (4-6 mm²)": 1}  # 3 x 1.31 = 3.93 mm²


def test_a_repair_takes_splices_and_a_length_of_its_thickest_wire_kept_apart_from_the_cut_wire():
    horn = circuit("horn", Disposition.REPAIR)
    wires = [sized_wire(horn, 1), sized_wire(horn, 2, size=conductor("10 AWG", 5.26, 4.8), colour="GN")]
    parts = take_off(sized_plan([horn], wires), TakeoffRules(repair_splices=2, repair_wire_m=0.5))
    assert counted(parts, PartKind.REPAIR_LENGTH) == {"10 AWG GN": 0.5}
    assert counted(parts, PartKind.SPLICE) == {"12-10 AWG (4-6 mm²)": 2}
    assert counted(parts, PartKind.WIRE) == {}


def test_a_repair_of_a_lead_whose_colour_is_not_recorded_takes_any_colour():
    horn = circuit("horn", Disposition.REPAIR)
    parts = take_off(sized_plan([horn], [sized_wire(horn, colour="")]))
    assert list(counted(parts, PartKind.REPAIR_LENGTH)) == ["14 AWG any colour"]


def test_a_repair_of_a_circuit_without_a_path_asks_for_nothing():
    assert take_off(sized_plan([circuit("horn", Disposition.REPAIR)])) == ()


@pytest.mark.parametrize(("load_at", "leads"), [(("left",), 2), (("left", "right"), 3)])
def test_a_capped_circuit_is_sealed_and_labelled_at_its_supply_and_every_load(load_at, leads):
    parts = take_off(sized_plan([circuit("trailer", Disposition.CAP_OFF, load_at=load_at)]))
    assert counted(parts, PartKind.END_CAP) == {"sealed cap": leads}
    assert counted(parts, PartKind.LABEL) == {"wire label": leads}


def test_a_removed_circuit_asks_for_no_parts():
    assert take_off(sized_plan([circuit("radio", Disposition.REMOVE)])) == ()
