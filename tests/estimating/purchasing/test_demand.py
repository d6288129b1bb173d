"""What is bought: what jobs need, less stock, less what is on its way, never what others have reserved."""

from datetime import date, timedelta

import pytest

from estimating.buying.week import Settings
from estimating.purchasing.demand import needed_by
from estimating.purchasing.models import BuyingRow, OrderRow, ReservationRow
from estimating.purchasing.week_store import demand_of, planning_of
from estimating.stock.services import Act, issue, keep, material_named, take_in
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db
FUSE = ("fuse", "blade 10 A")


def fuse_of(lines):
    return next(line for line in lines if line.part_kind == "fuse")


def free(planning, material):
    return sum(
        piece.count if piece.length_m is None else round(piece.length_m * 1000)
        for piece in planning.week.stock
        if piece.kind == material.key
    )


def test_every_wire_is_a_cut_of_its_own_and_all_else_goes_by_kind(job):
    lines = demand_of([job])
    cuts = [line for line in lines if line.cut]
    assert {"low beam left/1", "cooling fan/1"} <= {line.cut for line in cuts}
    assert len({line.ref for line in lines}) == len(lines)
    assert all(line.kind.insulation_c == 125 for line in cuts)
    assert fuse_of(lines).circuits, "names the circuits behind it"


def test_material_is_in_working_days_before_the_start():
    assert needed_by(date(2026, 3, 9), 2, Settings()) == date(2026, 3, 5)
    assert needed_by(date(2026, 3, 9), 2, Settings(holidays=frozenset({date(2026, 3, 6)}))) == date(2026, 3, 4)
    assert needed_by(date(2026, 3, 9), 0, Settings()) == date(2026, 3, 9)


def test_what_should_have_been_in_is_wanted_today(db):
    late = cast.job("J-1", starts_on=cast.TODAY - timedelta(days=3))
    planning = planning_of([late], cast.TODAY)
    assert {need.needed_by for need in planning.week.needs} == {cast.TODAY}


def test_stock_is_bought_around(job, market):
    line = fuse_of(demand_of([job]))
    material = material_named(line.part_kind, line.spec)
    take_in(material=material, amount=line.amount, act=cast.ACT)
    cast.place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)
    assert not material.order_lines.exists()
    reserved = ReservationRow.objects.get(kind=line.kind.key)
    assert reserved.holding is not None
    assert reserved.amount == line.amount


def test_what_is_on_order_is_not_ordered_again(job, market):
    cast.ordered(job)
    assert cast.place_orders(run=cast.planned(job), by="Ada", at=cast.NOON) == ()
    assert OrderRow.objects.count() == 2


def test_what_another_job_has_reserved_is_left_to_it(job):
    line = fuse_of(demand_of([job]))
    material = material_named(line.part_kind, line.spec)
    lot = take_in(material=material, amount=7, act=cast.ACT)
    ReservationRow.objects.create(job="J-9", kind=material.key, amount=5, holding=lot)
    assert free(planning_of([job], cast.TODAY), material) == 2
    both = (job, cast.JobAhead("J-9", "", job.plan_id, cast.START))
    assert free(planning_of(both, cast.TODAY), material) == 7, "what is planned anew is free"


def test_what_another_job_gets_of_an_order_is_left_to_it(job, market, orders):
    line = fuse_of(demand_of([job]))
    material = material_named(line.part_kind, line.spec)
    second = cast.job("J-2")
    packs = material.order_lines.get()
    assert free(planning_of([second], cast.TODAY), material) == packs.packs * packs.pack - line.amount


def test_a_roll_is_free_less_the_cuts_and_blades_of_others(job):
    BuyingRow.objects.create(pk=1, blade_loss_mm=2)
    line = next(line for line in demand_of([job]) if line.cut)
    material = material_named("wire", line.spec, 125)
    roll = take_in(material=material, amount=10_000, act=cast.ACT)
    ReservationRow.objects.create(job="J-9", kind=material.key, cut="x/1", amount=3_000, holding=roll)
    assert free(planning_of([job], cast.TODAY), material) == 10_000 - 3_002


def test_what_was_given_out_by_hand_is_not_needed_again(job):
    line = fuse_of(demand_of([job]))
    lot = take_in(material=material_named(line.part_kind, line.spec), amount=100, act=cast.ACT)
    issue(holding=lot, amount=1, act=Act("Ada", cast.NOON, "J-1"))
    assert fuse_of(demand_of([job])).amount == line.amount - 1
    issue(holding=lot, amount=line.amount, act=Act("Ada", cast.NOON, "J-1", key="by hand 1"))
    assert line.ref not in {each.ref for each in demand_of([job])}


def test_consumables_are_filled_up_to_the_level_that_is_kept(job, market):
    north, _ = market
    tie = material_named("clip", "99 mm")
    keep(material=tie, bin_name="", low_level=25)
    cast.offer(north, tie, "2.00", 10)
    take_in(material=tie, amount=4, act=cast.ACT)
    cast.place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)
    assert tie.order_lines.get().packs == 3, "25 are kept, 4 are there, a pack has 10"
    assert not ReservationRow.objects.filter(kind=tie.key).exists(), "it is for no job"


def test_the_same_rows_give_the_same_fingerprint_and_other_rows_another(job, market):
    one, other = planning_of([job], cast.TODAY), planning_of([job], cast.TODAY)
    assert one.fingerprint == other.fingerprint
    take_in(material=material_named(*FUSE), amount=1, act=cast.ACT)
    line = fuse_of(demand_of([job]))
    take_in(material=material_named(line.part_kind, line.spec), amount=1, act=cast.ACT)
    assert planning_of([job], cast.TODAY).fingerprint != one.fingerprint
    assert planning_of([job], cast.TODAY + timedelta(days=1)).fingerprint != one.fingerprint
