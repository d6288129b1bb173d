"""Diagrams, looms and panels of the starter plans: lettering legible, nothing off the sheet, told in words as well."""

from __future__ import annotations

from dataclasses import replace

import pytest

from circuits.drawings.circuit_tree import circuit_tree
from circuits.drawings.diagram import circuit_diagram
from circuits.drawings.loom import loom_drawing
from circuits.drawings.panel import panel_drawings
from circuits.drawings.svg import svg
from circuits.electrical.sizing import size_plan
from circuits.fittings import PanelPosition
from circuits.harness.panel_layout import FilledPosition, PanelLayout, lay_out_panels
from circuits.plan import Plan, Run, Vehicle
from circuits.sheets.starters import STARTERS, load_starter
from circuits.sized import SizedPlan
from tests.circuits.connected import connected
from tests.circuits.drawings.checks import (
    assert_no_lettering_overlaps,
    assert_nothing_leaves_the_sheet,
    parsed,
    texts,
)


@pytest.fixture(scope="module", params=sorted(STARTERS))
def sized(request: pytest.FixtureRequest) -> SizedPlan:
    return size_plan(load_starter(request.param))


def test_lettering_of_diagrams_never_overlaps(sized: SizedPlan) -> None:
    for circuit in sized.circuits:
        drawing = circuit_diagram(circuit)
        assert_no_lettering_overlaps(drawing)
        assert_nothing_leaves_the_sheet(drawing)


def test_lettering_of_the_loom_never_overlaps(sized: SizedPlan) -> None:
    drawing = loom_drawing(sized.wiring.plan, sized.bundles)
    assert_no_lettering_overlaps(drawing)
    assert_nothing_leaves_the_sheet(drawing)


def test_lettering_of_panels_never_overlaps(sized: SizedPlan) -> None:
    for drawing in (drawing for layout in lay_out_panels(sized) for drawing in panel_drawings(layout)):
        assert_no_lettering_overlaps(drawing)
        assert_nothing_leaves_the_sheet(drawing)


def test_long_names_are_cut_or_wrapped_not_spilled(sized: SizedPlan) -> None:
    long = "W" * 60
    circuit = next(found for found in sized.circuits if found.wires)
    drawing = circuit_diagram(replace(circuit, circuit=replace(circuit.circuit, load=long, switch=long, feed=long)))
    assert_no_lettering_overlaps(drawing)
    assert_nothing_leaves_the_sheet(drawing)
    filled = FilledPosition(PanelPosition(long, long, long), replace(sized.fuses[0], name=long), 9.0, is_heavy=True)
    [panel] = panel_drawings(PanelLayout(long, (filled,), is_listed=True))
    assert_no_lettering_overlaps(panel)
    assert_nothing_leaves_the_sheet(panel)


def test_every_wire_of_the_circuit_is_in_its_diagram(sized: SizedPlan) -> None:
    for circuit in sized.circuits:
        drawn = [joint.wire for joint in circuit_tree(circuit).joints if joint.wire]
        assert sorted(w.wire.name for w in drawn) == sorted(w.wire.name for w in circuit.wires)
        told = circuit_diagram(circuit).description
        for wire in circuit.wires:
            assert f"{wire.conductor.label} {wire.wire.colour}, {wire.wire.length_m:.2f} m" in told


def test_contact_stands_above_the_coil_that_moves_it(sized: SizedPlan) -> None:
    relays = [pair for circuit in sized.circuits for pair in circuit_tree(circuit).relays()]
    assert all(contact.column == coil.column and contact.row < coil.row for contact, coil in relays)


def test_every_place_stands_once_in_the_loom(sized: SizedPlan) -> None:
    plan = sized.wiring.plan
    bold = [text.text for text in texts(loom_drawing(plan, sized.bundles)) if text.is_bold]
    assert len(bold) == len(plan.places)
    assert set(bold) <= {*plan.places} | {text for text in bold if text.endswith("…")}


def test_same_plan_same_picture(sized: SizedPlan) -> None:
    plan = sized.wiring.plan
    assert svg(loom_drawing(plan, sized.bundles)) == svg(loom_drawing(plan, sized.bundles))
    assert all(svg(circuit_diagram(c)) == svg(circuit_diagram(c)) for c in sized.circuits[:5])


def test_runs_that_close_a_ring_are_lettered_not_lost() -> None:
    runs = (Run("a", "b", 1.0), Run("b", "c", 1.0), Run("c", "a", 1.5))
    drawing = loom_drawing(Plan(Vehicle(), (), runs, ()))
    assert "also joined: b to c, 1.00 m" in [text.text for text in texts(drawing)]


def test_loose_parts_of_a_loom_are_drawn_too() -> None:
    runs = (Run("a", "b", 1.0), Run("trailer socket", "trailer lamp", 4.0))
    drawing = loom_drawing(Plan(Vehicle(), (), runs, ()))
    assert {"a", "b", "trailer socket", "trailer lamp"} <= {text.text for text in texts(drawing)}


def test_plan_without_runs_says_so() -> None:
    assert [text.text for text in texts(loom_drawing(Plan(Vehicle(), (), (), ())))] == ["No runs yet."]


def test_diagram_is_named_and_told_for_those_who_cannot_see_it(sized: SizedPlan) -> None:
    element = parsed(circuit_diagram(sized.circuits[0]))
    names = (element.get("aria-labelledby") or "").split()
    assert element.get("role") == "img"
    assert [child.get("id") for child in element if child.tag.endswith(("title", "desc"))] == names


def test_a_diagram_shows_each_cavity_that_its_circuit_passes() -> None:
    for circuit in size_plan(connected()).circuits:
        drawing = circuit_diagram(circuit)
        assert_no_lettering_overlaps(drawing)
        assert_nothing_leaves_the_sheet(drawing)
        if circuit.circuit.name == "horn":
            said = " ".join(text.text for text in texts(drawing))
            assert "C2 cavity 2" in said
            assert "C1 cavity 3" in said
