"""What holds up work without anybody noting it: parts of the kit, changes not accepted, faults that endanger."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from circuits.harness.order import WorkStage
from circuits.planning.store import replace_plan
from estimating.buying.kinds import Kind
from estimating.purchasing.demand import DemandLine
from estimating.purchasing.kits import Kit, KitLine, KitState, settle
from estimating.purchasing.models import ReservationRow
from estimating.purchasing.week_store import demand_of
from estimating.stock.services import Act, material_named, take_in
from estimating.takeoff.parts import PartKind
from shop.billing.change_services import answer_change, send_change
from shop.faults.models import Weight
from shop.faults.services import Symptom, raise_fault
from shop.floor.rules import Stand
from shop.floor.selectors import week, work_state
from shop.jobs.models import Job
from shop.materials.shortage import NEEDED_AT, Shortage, shortages
from shop.materials.work import ahead
from tests.shop.floor import cast
from tests.shop.floor.cast import hour, tap

MAY_5, MAY_7 = date(2031, 5, 5), date(2031, 5, 7)
WIRE, RELAY = Kind("wire 14 AWG RD, 125 °C"), Kind("relay")


@pytest.fixture
def dated(job) -> Job:
    """The job with a start, so that its material is bought."""
    Job.objects.filter(pk=job.pk).update(starts_on=MAY_5)
    return Job.objects.with_parties().select_related("plan").get(pk=job.pk)


def causes(job: Job, stage: str, section: str) -> list[str]:
    state = work_state(job, hour(1))
    [found] = [one for one in state.packages if (one.package.stage, one.package.section) == (stage, section)]
    return [waiting.cause for waiting in found.waiting]


def line(kind: Kind, part: PartKind, cut: str = "", circuits: tuple[str, ...] = ()) -> DemandLine:
    return DemandLine("J-1", kind, cut, 1, circuits, MAY_5, part)


def kit_line(of: DemandLine, comes_on: date | None, given: str = "x") -> KitLine:
    return KitLine(of.kind.key, given, of.cut, 1, "1 pc", "", "", comes_on, False, False)


def test_every_kind_of_part_is_needed_at_some_stage():
    assert set(NEEDED_AT) == set(PartKind)


def test_what_is_on_order_or_nowhere_is_short_at_its_stage():
    wire, relay = line(WIRE, PartKind.WIRE, "horn/1", ("horn",)), line(RELAY, PartKind.RELAY, "", ("horn", "fan"))
    kit = Kit("J-1", KitState.CHANGED, (kit_line(relay, MAY_7),), (wire,))
    assert shortages(kit, [wire, relay]) == (
        Shortage(WIRE.key, WorkStage.PULL, ("horn",)),
        Shortage(RELAY.key, WorkStage.PANEL, ("horn", "fan"), MAY_7),
    )


@pytest.mark.parametrize("state", [KitState.READY, KitState.GIVEN_OUT, KitState.SETTLED])
def test_a_complete_kit_holds_nothing(state):
    wire = line(WIRE, PartKind.WIRE, "horn/1", ("horn",))
    assert shortages(Kit("J-1", state, ()), [wire]) == ()


def test_work_waits_for_parts_until_they_lie_ready_and_then_goes_on(dated):
    assert causes(dated, "pull", "front").count("parts") == 1
    assert "parts" not in causes(dated, "strip out", "front")
    for need in demand_of([ahead(dated)]):
        material = material_named(need.part_kind, need.spec, int(need.kind.insulation_c or 0))
        holding = take_in(material=material, amount=need.amount, act=Act("Otto", hour(0), note="opening stock"))
        ReservationRow.objects.create(
            job=dated.number, kind=need.kind.key, cut=need.cut, circuits="", amount=need.amount, holding=holding
        )
    found = work_state(dated, hour(1))
    assert not [one for state in found.packages for one in state.waiting if one.cause == "parts"]


def test_a_job_that_needs_no_more_material_waits_for_none(dated):
    settle(job=dated.number, by="Otto", at=hour(0))
    assert "parts" not in causes(dated, "pull", "front")


def test_a_change_holds_its_circuits_until_the_customer_accepts_it(job):
    brighter = replace(cast.TAIL, load_w=21.0)
    circuits = tuple(brighter if one is cast.TAIL else one for one in cast.PLAN.circuits)
    replace_plan(plan_id=job.plan_id, plan=replace(cast.PLAN, circuits=circuits), expected_version=1, by="Otto")
    job = Job.objects.with_parties().select_related("plan").get(pk=job.pk)
    assert "approval" in causes(job, "pull", "rear")
    assert "approval" not in causes(job, "pull", "front")
    change = send_change(job=job, note="", by="Otto", at=hour(1))
    answer_change(change=change, accepted=True, name="Ada", at=hour(2))
    assert "approval" not in causes(job, "pull", "rear")


def test_the_week_names_every_cause(client, dated, tessa):
    circuits = (*cast.PLAN.circuits[1:], replace(cast.BEAM, load_w=60.0))
    replace_plan(plan_id=dated.plan_id, plan=replace(cast.PLAN, circuits=circuits), expected_version=1, by="Otto")
    symptom = Symptom(does="chafed through", weight=Weight.DANGER, circuits=("horn",))
    raise_fault(job=dated, symptom=symptom, by=tessa, at=timezone.now(), key="k1")
    [state] = week(MAY_5, hour(1)).jobs
    said = {waiting.cause for one in state.packages for waiting in one.waiting}
    assert said == {"parts", "approval", "fault", "order"}
    assert all(one.stand is Stand.WAITS for one in state.packages if one.package.stage == "cover")
    client.force_login(tessa)
    page = client.get(reverse("floor:week"), {"from": MAY_5.isoformat()}).content.decode()
    assert "not ordered" in page
    assert "has not accepted the change to low beam" in page
    assert "fault 1: chafed through" in page


def test_a_week_costs_the_same_for_one_job_and_for_five(dated, tessa, django_assert_max_num_queries):
    tap(tessa, "start", hour(0), cast.package(dated, "pull", "front"))
    costs = []
    for count in (0, 4):
        for n in range(count):
            cast.booked_job(f"Rewire {n}")
        Job.objects.update(starts_on=MAY_5)
        week(MAY_5, hour(1))  # the first look works the plans up and keeps them
        with django_assert_max_num_queries(24) as counted:
            assert len(week(MAY_5, hour(1)).jobs) == count + 1
        costs.append(len(counted))
    assert costs[0] == costs[1]
