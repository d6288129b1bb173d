"""Work elements are counted from what is cut, fitted and left."""

import pytest

from circuits.plan import Disposition, FuseFamily
from circuits.wiring import Device, Lands
from estimating.labour.count import WHOLE_VEHICLE, count_elements
from estimating.labour.minutes import Element
from estimating.takeoff.takeoff import needs_of
from tests.estimating.takeoff.builders import bundle, circuit, conductor, end, fuse_of, sized_plan, sized_wire


def counted(sized):
    return {(row.element, row.section): row.count for row in count_elements(sized, needs_of(sized))}


def test_a_plan_without_circuits_takes_no_work():
    assert counted(sized_plan([])) == {}


def test_a_replaced_circuit_is_removed_pulled_tested_and_allowed_for_in_fault_finding():
    horn = circuit("horn")
    found = counted(sized_plan([horn], [sized_wire(horn, runs=(0, 1, 2))]))
    assert found[Element.REMOVE_CIRCUIT, "front"] == 1
    assert found[Element.REMOVE_WIRE, "front"] == pytest.approx(6.3)
    assert found[Element.TEST, "front"] == found[Element.FAULT_FINDING, "front"] == 1
    assert found[Element.CUT_AND_STRIP, "front"] == found[Element.CRIMP_SMALL, "front"] == 2
    assert found[Element.LAND, "front"] == 2


def test_pulled_metres_are_those_of_the_runs_by_how_their_zone_is_reached():
    horn = circuit("horn")
    found = counted(sized_plan([horn], [sized_wire(horn, runs=(0, 1, 2), length_m=99.0)]))
    assert found[Element.PULL_NORMAL, "front"] == pytest.approx(1.0 + 3.3)  # cabin and underbody
    assert found[Element.PULL_EASY, "front"] == pytest.approx(2.0)  # engine bay


def test_a_new_circuit_has_nothing_to_remove():
    fan = circuit("fan", Disposition.NEW)
    found = counted(sized_plan([fan], [sized_wire(fan, runs=(0,))]))
    assert not {element for element, _ in found} & {Element.REMOVE_CIRCUIT, Element.REMOVE_WIRE}


@pytest.mark.parametrize(
    ("disposition", "elements"),
    [
        (Disposition.KEEP, {Element.CHECK_KEPT, Element.SURVEY, Element.PROVING}),
        (Disposition.REMOVE, {Element.REMOVE_CIRCUIT, Element.REMOVE_WIRE, Element.SURVEY}),
        (Disposition.CAP_OFF, {Element.CAP_OFF, Element.LABEL, Element.SURVEY}),
        (Disposition.REPAIR, {Element.REPAIR, Element.SPLICE, Element.TEST, Element.SURVEY, Element.PROVING}),
    ],
)
def test_a_circuit_that_is_not_pulled_new_takes_only_its_own_work(disposition, elements):
    horn = circuit("horn", disposition)
    wires = [sized_wire(horn)] if disposition.is_wired else []
    assert {element for element, _ in counted(sized_plan([horn], wires))} == elements


def test_a_removed_circuit_leaves_the_metres_from_its_supply_by_its_switch_to_each_load():
    radio = circuit("radio", Disposition.REMOVE, switch_at="bulkhead", load_at=("engine", "rear"))
    found = counted(sized_plan([radio]))
    assert found[Element.REMOVE_WIRE, "front"] == pytest.approx(1.0 + 2.0 + (1.0 + 3.3))


def test_a_removed_circuit_whose_way_nobody_knows_leaves_no_metres():
    radio = circuit("radio", Disposition.REMOVE, fed_at="attic", load_at=("cellar",))
    assert (Element.REMOVE_WIRE, "front") not in counted(sized_plan([radio]))


def test_a_thick_wire_is_a_large_crimp():
    main = circuit("main")
    size = conductor("8 AWG", 8.37, 5.9)
    found = counted(sized_plan([main], [sized_wire(main, size=size, start=end(Lands.SPLICE))]))
    assert found[Element.CRIMP_LARGE, "front"] == 1
    assert (Element.CRIMP_SMALL, "front") not in found


def test_panel_positions_of_circuits_take_work_and_spares_do_not():
    horn = circuit("horn")
    found = counted(sized_plan([horn], fuses=[fuse_of(horn)]))
    assert found[Element.PANEL_POSITION, "front"] == 1
    assert found[Element.FIT_PANEL, WHOLE_VEHICLE] == 1


def test_no_panel_is_fitted_where_there_is_no_position():
    main = circuit("main")
    found = counted(sized_plan([main], fuses=[fuse_of(main, FuseFamily.MAXI_BLADE, 60.0)]))
    assert found[Element.FUSE_HOLDER, "front"] == 1
    assert (Element.FIT_PANEL, WHOLE_VEHICLE) not in found


def test_what_one_section_asks_for_is_its_work_and_what_several_share_is_the_vehicles():
    horn, tail = circuit("horn"), circuit("tail", section="rear")
    wires = [sized_wire(horn), sized_wire(tail)]
    device = Device("relay: horn", Lands.RELAY, "engine", ("horn",), 10.0)
    shared, own = bundle(1, ("horn/1", "tail/1")), bundle(2, ("tail/1",))
    found = counted(sized_plan([horn, tail], wires, devices=[device], bundles=[shared, own]))
    assert found[Element.RELAY, "front"] == 1
    assert found[Element.COVERING, WHOLE_VEHICLE] == pytest.approx(2.0)
    assert found[Element.GROMMET, WHOLE_VEHICLE] == 1
    assert found[Element.CLIP, "rear"] == 8


def test_counts_name_the_circuits_that_caused_them():
    circuits = [circuit("a"), circuit("b")]
    sized = sized_plan(circuits, [sized_wire(one) for one in circuits])
    by_element = {row.element: row.circuits for row in count_elements(sized, needs_of(sized))}
    assert by_element[Element.CUT_AND_STRIP] == ("a", "b")
    assert by_element[Element.SURVEY] == ()
