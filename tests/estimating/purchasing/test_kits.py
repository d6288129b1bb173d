"""The kit of a job and its cut list: complete or not, what is cut from which roll, in the order of the bench."""

from __future__ import annotations

from dataclasses import replace

import pytest

from circuits.plan import Disposition
from circuits.planning.store import replace_plan
from estimating.buying.kinds import Measure
from estimating.purchasing.cut_csv import LABEL_HEADER, cut_csv, label_csv
from estimating.purchasing.cut_list import IN_SPLICE, cut_list
from estimating.purchasing.kits import KitState, give_out, kits_of, release, settle, unsettle
from estimating.purchasing.models import BuyingRow, ReservationRow
from estimating.purchasing.placing import place_orders
from estimating.purchasing.receiving import Came, receive
from estimating.purchasing.week_store import demand_of
from estimating.quotes.rules import RefusedError
from estimating.quotes.store import work_up_plan
from estimating.stock.kinds import natural, whole
from estimating.stock.models import HoldingRow, MovementRow, Reason
from estimating.stock.services import level_of, scrap
from tests.estimating.purchasing import cast
from tests.estimating.quotes import cast as plans

pytestmark = pytest.mark.django_db


def kit(job):
    return kits_of(demand_of([job]), [job.ref])[job.ref]


def cuts(job):
    return cut_list(work_up_plan(job.plan_id).sized, kit(job))


@pytest.fixture
def ready(job, orders):
    for order in orders:
        came = {line.pk: Came(line.packs) for line in order.lines.all()}
        receive(order=order, came=came, token=order.number, by="Ada", at=cast.NOON)
    return job


def test_a_job_that_nobody_planned_says_so(job):
    assert kit(job).state == KitState.UNPLANNED


def test_a_kit_on_order_says_until_when(job, orders):
    assert kit(job).state == KitState.WAITING
    assert kit(job).comes_on == max(line.arrives for order in orders for line in order.lines.all())


def test_a_plan_that_asks_for_more_is_told(ready):
    assert kit(ready).state == KitState.READY
    more = replace(plans.PLAN, circuits=(*plans.PLAN.circuits, plans.SOCKET))
    replace_plan(plan_id=ready.plan_id, plan=more, expected_version=cast.version(ready.plan_id), by="Ada")
    assert kit(ready).state == KitState.CHANGED
    assert "socket/1" in {line.cut for line in kit(ready).unplanned}


def test_every_wire_has_a_roll_that_holds_all_its_cuts(ready):
    rows = cuts(ready)
    planned = {wire.wire.name: wire for wire in work_up_plan(ready.plan_id).sized.wires}
    assert {row.number for row in rows} == set(planned)
    rolls = {holding.label: holding for holding in HoldingRow.objects.with_level().exclude(label="")}
    used: dict[str, int] = {}
    for row in rows:
        assert row.length_mm == whole(Measure.CUTS, planned[row.number].wire.length_m)
        used[row.roll] = used.get(row.roll, 0) + row.length_mm
        assert f"{row.size} {row.colour}" in rolls[row.roll].material.spec
    assert all(rolls[label].level >= amount for label, amount in used.items())


def test_each_roll_is_taken_up_once_longest_cut_first(ready):
    rows = cuts(ready)
    order = [row.roll for row in rows]
    assert [roll for n, roll in enumerate(order) if n == 0 or order[n - 1] != roll] == list(dict.fromkeys(order))
    for roll in set(order):
        lengths = [row.length_mm for row in rows if row.roll == roll]
        assert lengths == sorted(lengths, reverse=True)


def test_terminals_of_the_cut_list_are_those_of_the_take_off(ready):
    ends = [end.terminal for row in cuts(ready) for end in (row.start, row.end) if end.terminal != IN_SPLICE]
    parts = work_up_plan(ready.plan_id).parts
    taken_off = {part.spec: part.quantity for part in parts if part.kind == "terminal"}
    assert {spec: ends.count(spec) for spec in set(ends)} == taken_off


def test_giving_out_takes_each_cut_and_blade_from_its_roll_once(ready):
    BuyingRow.objects.update_or_create(pk=1, defaults={"blade_loss_mm": 2})
    before = {holding.pk: holding.level for holding in HoldingRow.objects.with_level()}
    give_out(job=ready.ref, by="Tessa", at=cast.NOON)
    wires = ReservationRow.objects.exclude(cut="").count()
    assert MovementRow.objects.filter(reason=Reason.BLADE, amount=-2).count() == wires
    for holding in HoldingRow.objects.with_level():
        mine = ReservationRow.objects.filter(holding=holding)
        blades = 2 * mine.exclude(cut="").count()
        assert before[holding.pk] - holding.level == sum(row.amount for row in mine) + blades
    with pytest.raises(RefusedError, match="not given out yet"):
        give_out(job=ready.ref, by="Tessa", at=cast.NOON)
    assert kit(ready).state == KitState.GIVEN_OUT
    assert {row.note for row in cuts(ready)} == {"cut already"}


def test_a_kit_whose_roll_was_scrapped_is_not_ready_and_is_planned_again(ready):
    roll = HoldingRow.objects.filter(reserved__cut__gt="")[0]
    scrap(holding=roll, amount=level_of(roll), act=cast.ACT)
    assert kit(ready).state == KitState.MISSING
    with pytest.raises(RefusedError, match=r"0\.00 m there.*Plan what to buy again"):
        give_out(job=ready.ref, by="Tessa", at=cast.NOON)
    assert not MovementRow.objects.filter(reason=Reason.ISSUE).exists(), "all or nothing"
    place_orders(run=cast.planned(ready), by="Ada", at=cast.NOON)
    assert kit(ready).state == KitState.WAITING


def test_the_pick_list_names_each_bin_and_roll_once(ready):
    picked = kit(ready).to_pick
    places = [(line.bin, line.given, line.roll) for line in picked]
    assert len(places) == len(set(places))
    assert places == sorted(places, key=lambda place: tuple(map(natural, place)))
    assert sum(line.amount for line in picked) == sum(ReservationRow.objects.values_list("amount", flat=True))


def test_what_is_let_go_is_free_for_others(ready):
    release(job=ready.ref)
    assert kit(ready).state == KitState.UNPLANNED
    other = cast.job("J-2")
    assert place_orders(run=cast.planned(other), by="Ada", at=cast.NOON) == ()
    assert kit(other).state == KitState.READY


def test_a_repair_is_cut_too_with_a_splice_at_either_end(db):
    mended = replace(plans.HEADLAMP, name="mended", disposition=Disposition.REPAIR)
    row = cast.plan_row("with a repair", plans.plan_of(plans.TAIL, mended))
    job = cast.job("J-7", row)
    cast.sell_everything((job,), cast.supplier("North"))
    cast.ordered(job)
    (repair,) = [each for each in cuts(job) if each.circuit == "mended"]
    assert repair.number == "mended/repair"
    assert repair.start.terminal == repair.end.terminal == IN_SPLICE
    assert repair.roll == "PO-2026-001, roll 1"


def test_a_job_that_needs_no_more_is_left_alone_until_it_does(ready):
    settle(job=ready.ref, by="Ada", at=cast.NOON)
    settle(job=ready.ref, by="Ada", at=cast.NOON)
    assert kit(ready).state == KitState.SETTLED
    assert demand_of([ready]) == ()
    assert not ReservationRow.objects.exists()
    unsettle(job=ready.ref)
    assert kit(ready).state == KitState.UNPLANNED
    assert demand_of([ready])


def test_labels_and_cut_list_as_csv(ready):
    rows = cuts(ready)
    labels = label_csv(rows, ready.ref, 2).decode("utf-8-sig").splitlines()
    assert labels[0] == ",".join(LABEL_HEADER)
    assert len(labels) == 1 + 2 * len(rows)
    assert labels[1] == labels[2]
    lines = cut_csv(rows).decode("utf-8-sig").splitlines()
    assert len(lines) == 1 + len(rows)
    assert rows[0].roll in lines[1]


def test_queries_of_kits_do_not_grow_with_jobs(django_assert_num_queries, ready):
    with django_assert_num_queries(4):
        kits_of((), ["J-1"])
    with django_assert_num_queries(4):
        kits_of((), ["J-1", "J-2", "J-3"])
