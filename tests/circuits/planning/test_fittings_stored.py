"""Fittings are kept like the rest of a plan: whole, by name, with their history, never over another's edit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from circuits.fittings import Cavity, Connector, Half, Holds, Mounting, PanelPosition
from circuits.plan import Plan
from circuits.planning.changes import save_rows
from circuits.planning.comparison import compare
from circuits.planning.edits import Edit, EditFaultsError
from circuits.planning.history import last_changes
from circuits.planning.listing import CAVITIES, CIRCUITS, CONNECTORS, MOUNTINGS, Listing
from circuits.planning.models import PlanRow
from circuits.planning.services import FromPlan, new_plan
from circuits.planning.store import create_plan, load, load_plan, replace_plan
from tests.circuits.cast import marsh_hare

pytestmark = pytest.mark.django_db

FITTED = replace(
    marsh_hare(),
    connectors=(
        Connector("C1", "panel", "round", Half.SOCKET, 2, mates_with="C2", in_loom=True, max_area_mm2=2.5),
        Connector("C2", "panel", "round", Half.PIN, 2, mates_with="C1", body_mm=18.0),
    ),
    cavities=(Cavity("C1", "1", "horn"), Cavity("C1", "2", "horn", Holds.RETURN), Cavity("C2", "1", "horn")),
    mountings=(Mounting("dash top", "panel", ("C1", "heater box")), Mounting("heater box", wired_first=True)),
    positions=(PanelPosition("panel", "1", "battery", "blade", 20.0, "horn"), PanelPosition("panel", "2", "start")),
)


@pytest.fixture
def row() -> PlanRow:
    return create_plan(title="Marsh Hare", plan=FITTED, by="owner")


def change(row: PlanRow, listing: Listing, index: int, **fields: Any) -> Any:
    part = load(row.pk).rows_of(listing.name)[index]
    edit = Edit("k", part.pk, part.version, replace(listing.value_of(part), **fields))
    return save_rows(plan_id=row.pk, listing=listing, edits=[edit], by="office")


def test_a_plan_reads_back_with_its_fittings_and_so_does_its_copy(row: PlanRow) -> None:
    assert load_plan(row.pk) == FITTED
    assert load_plan(new_plan(title="copy", source=FromPlan(row.pk), by="owner").pk) == FITTED


def test_another_plan_in_its_place_keeps_the_rows_whose_name_stays(row: PlanRow) -> None:
    kept = load(row.pk).rows_of("cavities")[1].pk
    other = replace(FITTED, cavities=FITTED.cavities[1:], mountings=(), positions=FITTED.positions[::-1])
    replace_plan(plan_id=row.pk, plan=other, expected_version=1, by="office")
    assert load_plan(row.pk) == other
    assert load(row.pk).rows_of("cavities")[0].pk == kept


def test_cavities_mates_and_parts_follow_the_new_name_of_a_connector(row: PlanRow) -> None:
    changed = change(row, CONNECTORS, 0, name="bulkhead")
    plan = load_plan(row.pk)
    assert [cavity.connector for cavity in plan.cavities] == ["bulkhead", "bulkhead", "C2"]
    assert plan.connectors[1].mates_with == "bulkhead"
    assert plan.mountings[0].hides == ("bulkhead", "heater box")
    assert [(other.name, other.version) for other in changed.others] == [("C2", 2)]


def test_cavities_and_positions_follow_the_new_name_of_a_circuit(row: PlanRow) -> None:
    index = [circuit.name for circuit in FITTED.circuits].index("horn")
    change(row, CIRCUITS, index, name="klaxon")
    plan = load_plan(row.pk)
    assert {cavity.circuit for cavity in plan.cavities} == {"klaxon"}
    assert plan.positions[0].circuit == "klaxon"


def test_two_connectors_may_swap_names(row: PlanRow) -> None:
    parts = load(row.pk).rows_of("connectors")
    values = [replace(FITTED.connectors[0], name="C2"), replace(FITTED.connectors[1], name="C1")]
    edits = [Edit(one.name, one.pk, 1, value) for one, value in zip(parts, values, strict=True)]
    save_rows(plan_id=row.pk, listing=CONNECTORS, edits=edits, by="office")
    assert [connector.name for connector in load_plan(row.pk).connectors] == ["C2", "C1"]


def test_one_label_is_refused_twice_in_one_connector_but_not_in_two(row: PlanRow) -> None:
    with pytest.raises(EditFaultsError, match="a name that no other cavity of this plan has within C1"):
        change(row, CAVITIES, 1, label="1")
    change(row, CAVITIES, 1, connector="C2", label="2")


def test_changes_of_fittings_are_told_in_words(row: PlanRow) -> None:
    change(row, MOUNTINGS, 1, wired_first=False)
    line = last_changes(row)[0]
    assert (line.what, line.subject, line.by) == ("part to mount changed", "heater box", "office")
    assert [(field.label, field.before, field.after) for field in line.fields] == [("Wired first", "yes", "no")]


def test_two_plans_are_compared_in_their_fittings() -> None:
    other: Plan = replace(FITTED, cavities=FITTED.cavities[:2], positions=(replace(FITTED.positions[0], max_a=30.0),))
    told = {one.name: one for one in compare(FITTED, other) if one.differs}
    assert told["cavities"].dropped == ("C2 1",)
    assert told["positions"].dropped == ("panel 2",)
    assert told["positions"].altered[0].fields[0].after == "30"
    assert set(told) == {"cavities", "positions"}
