"""Changes row by row: all or nothing, and never over somebody else's edit."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from circuits.plan import Circuit, Run
from circuits.planning.changes import delete_rows, duplicate_circuit, free_name, move_row, save_rows
from circuits.planning.edits import AT_TOP, ConflictError, Edit, EditFaultsError
from circuits.planning.listing import CIRCUITS, RUNS
from circuits.planning.models import CircuitRow, PlanChange, PlanRow, RunRow
from circuits.planning.store import create_plan
from tests.circuits.cast import FUEL, GAUGES, HORN, TAIL, marsh_hare

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan() -> PlanRow:
    return create_plan(title="Marsh Hare", plan=marsh_hare(), by="owner")


def rows() -> dict[str, CircuitRow]:
    return {row.name: row for row in CircuitRow.objects.all()}


def names() -> list[str]:
    return list(CircuitRow.objects.values_list("name", flat=True))


def content(change: PlanChange) -> tuple[dict[str, Any], dict[str, Any]]:
    return change.before or {}, change.after or {}


def edit(name: str, value: Circuit, version: int | None = None) -> Edit:
    row = rows()[name]
    return Edit(name, row.pk, row.version if version is None else version, value)


def save(plan: PlanRow, *edits: Edit) -> Any:
    return save_rows(plan_id=plan.pk, listing=CIRCUITS, edits=edits, by="office")


def test_change_raises_the_versions_of_its_row_and_its_plan(plan: PlanRow) -> None:
    save(plan, edit("horn", replace(HORN, load_a=7.0)))
    assert (rows()["horn"].load_a, rows()["horn"].version, rows()["horn"].updated_by) == (7.0, 2, "office")
    assert rows()["gauges"].version == 1
    plan.refresh_from_db()
    assert (plan.version, plan.updated_by) == (2, "office")


def test_change_is_logged_as_it_was_before_and_after(plan: PlanRow) -> None:
    save(plan, edit("horn", replace(HORN, load_a=7.0)))
    change = PlanChange.objects.filter(subject="horn").get()
    assert (change.what, change.by, change.plan_version) == ("circuit changed", "office", 2)
    before, after = content(change)
    assert (before["load_a"], after["load_a"]) == (5.0, 7.0)


def test_edit_of_an_older_version_is_refused_with_what_is_stored(plan: PlanRow) -> None:
    save(plan, edit("horn", replace(HORN, load_a=7.0)))
    with pytest.raises(ConflictError) as caught:
        save(plan, edit("horn", replace(HORN, load_a=9.0), version=1))
    conflict = caught.value.conflicts[0]
    assert (conflict.key, conflict.theirs.load_a, conflict.theirs.updated_by) == ("horn", 7.0, "office")
    assert rows()["horn"].load_a == 7.0


def test_one_conflict_keeps_the_whole_batch_out(plan: PlanRow) -> None:
    stale = edit("horn", replace(HORN, load_a=9.0), version=0)
    with pytest.raises(ConflictError):
        save(plan, edit("gauges", replace(GAUGES, load_a=2.0)), stale)
    assert rows()["gauges"].load_a == 0.8


def test_two_circuits_of_one_name_are_refused_all_at_once(plan: PlanRow) -> None:
    new = [Edit(str(n), None, 0, replace(HORN, name=name)) for n, name in enumerate(("bell", "bell", "gauges"))]
    with pytest.raises(EditFaultsError) as caught:
        save(plan, *new)
    assert [(fault.key, fault.column, fault.value) for fault in caught.value.faults] == [
        ("1", "circuit", "bell"),
        ("2", "circuit", "gauges"),
    ]
    assert len(names()) == 6


def test_circuits_swap_names_in_one_batch(plan: PlanRow) -> None:
    save(plan, edit("horn", replace(HORN, name="tail lamps")), edit("tail lamps", replace(TAIL, name="horn")))
    assert rows()["tail lamps"].load == "horn"
    assert rows()["horn"].load == "tail lamp"


def test_circuits_follow_the_new_name_of_the_one_that_feeds_them(plan: PlanRow) -> None:
    changed = save(plan, edit("gauges", replace(GAUGES, name="instruments")))
    assert rows()["fuel level"].feed == "instruments"
    assert [(row.name, row.version) for row in changed.others] == [("fuel level", 2)]


def test_feed_that_names_a_bus_in_other_letters_becomes_the_bus(plan: PlanRow) -> None:
    save(plan, edit("horn", replace(HORN, feed=" Ignition")))
    assert rows()["horn"].feed == "ignition"


def test_new_rows_go_where_they_are_wanted(plan: PlanRow) -> None:
    save(
        plan,
        Edit("a", None, 0, replace(HORN, name="second"), after=rows()["main feed"].pk),
        Edit("b", None, 0, replace(HORN, name="third"), after="a"),
        Edit("c", None, 0, replace(HORN, name="first"), after=AT_TOP),
        Edit("d", None, 0, replace(HORN, name="last")),
    )
    assert names()[:4] == ["first", "main feed", "second", "third"]
    assert names()[-1] == "last"


def test_unchanged_row_keeps_its_version(plan: PlanRow) -> None:
    save(plan, edit("horn", HORN))
    assert rows()["horn"].version == 1
    assert not PlanChange.objects.filter(subject="horn").exists()


def test_row_changed_since_it_was_seen_is_not_taken_out(plan: PlanRow) -> None:
    save(plan, edit("horn", replace(HORN, load_a=7.0)))
    with pytest.raises(ConflictError):
        delete_rows(plan_id=plan.pk, listing=CIRCUITS, versions={rows()["horn"].pk: 1}, by="owner")
    assert "horn" in rows()


def test_row_taken_out_is_kept_in_the_log(plan: PlanRow) -> None:
    delete_rows(plan_id=plan.pk, listing=CIRCUITS, versions={rows()["horn"].pk: 1}, by="owner")
    assert "horn" not in rows()
    assert content(PlanChange.objects.get(what="circuit taken out"))[0]["load"] == "horn"


def test_rows_of_another_plan_are_out_of_reach(plan: PlanRow) -> None:
    other = create_plan(title="other", plan=marsh_hare(), by="owner")
    theirs = CircuitRow.objects.get(plan=other, name="horn")
    delete_rows(plan_id=plan.pk, listing=CIRCUITS, versions={theirs.pk: 1}, by="owner")
    assert CircuitRow.objects.filter(pk=theirs.pk).exists()
    with pytest.raises(ConflictError):
        save(plan, Edit("x", theirs.pk, 1, replace(HORN, load_a=9.0)))
    with pytest.raises(ConflictError):
        move_row(plan_id=plan.pk, listing=CIRCUITS, row_id=theirs.pk, after=AT_TOP, by="owner")


def test_row_moves_and_the_rest_keep_their_order(plan: PlanRow) -> None:
    before = names()
    move_row(plan_id=plan.pk, listing=CIRCUITS, row_id=rows()["fuel level"].pk, after=AT_TOP, by="owner")
    assert names() == ["fuel level", *before[:-1]]
    move_row(plan_id=plan.pk, listing=CIRCUITS, row_id=rows()["fuel level"].pk, after=rows()["gauges"].pk, by="owner")
    assert names() == before


def test_circuit_once_more_stands_behind_the_first(plan: PlanRow) -> None:
    duplicate_circuit(plan_id=plan.pk, row_id=rows()["horn"].pk, by="owner")
    duplicate_circuit(plan_id=plan.pk, row_id=rows()["horn 2"].pk, by="owner")
    assert names()[3:6] == ["horn", "horn 2", "horn 3"]


def test_free_name_does_not_take_a_number_for_a_whole_name() -> None:
    assert free_name({"12"}, "12") == "12 2"


def test_two_runs_between_the_same_places_may_stand_side_by_side(plan: PlanRow) -> None:
    twin = Run("panel", "tail", 3.0, "cabin")
    save_rows(plan_id=plan.pk, listing=RUNS, edits=[Edit("x", None, 0, twin)], by="owner")
    assert RunRow.objects.filter(plan=plan, start="panel", end="tail").count() == 2


def test_plan_that_is_gone_says_so(plan: PlanRow) -> None:
    with pytest.raises(PlanRow.DoesNotExist):
        save_rows(plan_id=plan.pk + 1, listing=CIRCUITS, edits=[Edit("x", None, 0, FUEL)], by="owner")


def test_new_row_sent_twice_as_its_answer_was_lost_is_one_row(plan: PlanRow) -> None:
    bell = replace(HORN, name="bell")
    save(plan, Edit("new-1", None, 0, bell))
    save(plan, Edit("new-1", None, 0, bell))
    assert names().count("bell") == 1
    save(plan, Edit("new-1", None, 0, replace(bell, name="gong")))  # and typed on in the meantime
    assert "bell" not in names()
    with pytest.raises(ConflictError):
        save(plan, Edit("new-1", None, 0, replace(bell, name="cymbal")))  # changed since, in another window or not
    assert "gong" in names()
