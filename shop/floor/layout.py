"""Laying the work out: from what the customer agreed to, which is frozen; from today's plan while that is nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from circuits.electrical.sizing import size_plan
from circuits.harness.order import Before, OrderOfWork, PackageKey, WorkStage, order_of_work
from circuits.sized import SizedPlan
from estimating.labour.count import count_elements
from estimating.labour.hours import ElementCount
from estimating.labour.minutes import MinutesTable
from estimating.quotes.store import worked_up
from estimating.takeoff.takeoff import needs_of
from shop.billing.agreement import agreed_rules, agreement_of, plan_of
from shop.billing.models import Change, ChangeState
from shop.floor.estimate import estimates
from shop.floor.models import OwnOrder, Package, Tick, WorkLayout
from shop.jobs.models import Job, Stage
from shop.people.models import User

MAX_WORDS = 200


@dataclass(frozen=True, slots=True)
class Basis:
    """What the work is laid out from, and its name in words. ``change_id`` is the last change the customer accepted."""

    sized: SizedPlan
    counts: tuple[ElementCount, ...]
    table: MinutesTable
    condition_cv: float
    words: str
    change_id: int | None = None
    is_agreed: bool = True


def basis_of(job: Job) -> Basis:
    """What the customer has agreed to, as it was frozen; today's plan where nothing is accepted."""
    agreement = agreement_of(job)
    if agreement is None:
        job.plan.refresh_from_db()
        worked = worked_up(job.plan_id)
        words = f"version {job.plan.version} of the plan; the customer has accepted nothing yet"
        hours, rules = worked.workup.hours, worked.rules
        return Basis(worked.workup.sized, hours.counts, rules.minutes, rules.condition_cv, words, is_agreed=False)
    rules = agreed_rules(agreement)
    sized = size_plan(plan_of(agreement.plan), rules.build)
    counts = count_elements(sized, needs_of(sized, rules.takeoff))
    last = last_change_id(job)
    return Basis(sized, counts, rules.minutes, rules.condition_cv, agreement.words, last)


def last_change_id(job: Job) -> int | None:
    """Key of the last change that the customer accepted. One query."""
    accepted = Change.objects.filter(job=job.pk, state=ChangeState.ACCEPTED).order_by("-number")
    return accepted.values_list("pk", flat=True).first()


def is_behind(job: Job, layout: WorkLayout) -> bool:
    """True where the customer has agreed to more since the work was laid out."""
    return layout.change_id != last_change_id(job) or (not layout.is_agreed and job.stage == Stage.BOOKED)


@transaction.atomic
def lay_out_work(*, job: Job, at: datetime) -> WorkLayout:
    """Make the job's packages, or make them anew. A package that stays keeps its ticks, hours and holds.

    A package that the basis no longer has is put aside, not deleted: hours may be booked to it.
    """
    Job.objects.select_for_update().get(pk=job.pk)
    basis = basis_of(job)
    order = order_of_work(basis.sized.wiring, own_orders(job))
    _store_packages(job, basis, order)
    found = [{"message": finding.message, "cure": finding.cure} for finding in order.findings]
    values: dict[str, Any] = {
        "words": basis.words[:MAX_WORDS],
        "change_id": basis.change_id,
        "is_agreed": basis.is_agreed,
        "condition_cv": basis.condition_cv,
        "findings": found,
        "made_at": at,
    }
    return WorkLayout.objects.update_or_create(job=job, defaults=values)[0]


def own_orders(job: Job) -> tuple[Before, ...]:
    """What the shop adds to the order of work on this vehicle."""
    return tuple(
        Before(
            PackageKey(WorkStage(row.first_stage), row.first_section),
            PackageKey(WorkStage(row.then_stage), row.then_section),
            row.why,
        )
        for row in OwnOrder.objects.filter(job=job)
    )


def _store_packages(job: Job, basis: Basis, order: OrderOfWork) -> None:
    contents = {package.key: package.circuits for package in order.packages}
    section_of = {circuit.name: circuit.section for circuit in basis.sized.wiring.plan.circuits}
    minutes = estimates(basis.counts, basis.table, section_of, contents)
    present = {package.key: package for package in Package.objects.select_for_update().filter(job=job)}
    ticked = _ticked(job)
    for position, package in enumerate(order.packages):
        row = present.pop(package.key, None) or Package(job=job, stage=package.key.stage, section=package.key.section)
        row.position, row.is_current = position, True
        row.circuits, row.notes = list(package.circuits), list(package.notes)
        row.after = [
            {"stage": str(rule.first.stage), "section": rule.first.section, "why": rule.why} for rule in package.after
        ]
        row.minutes, row.variance_min2 = minutes[package.key].minutes, minutes[package.key].variance_min2
        row.of = len(row.to_tick)
        row.done = len(ticked.get(row.pk, set()) & set(row.to_tick))
        row.save()
    for row in present.values():
        row.is_current = False
        row.save(update_fields=["is_current"])


def _ticked(job: Job) -> dict[int, set[str]]:
    found: dict[int, set[str]] = {}
    for package_id, circuit in Tick.objects.filter(package__job=job, undone_at__isnull=True).values_list(
        "package_id", "circuit"
    ):
        found.setdefault(package_id, set()).add(circuit)
    return found


@transaction.atomic
def add_own_order(*, job: Job, first: Package, then: Package, why: str, by: User, at: datetime) -> Sequence[str]:
    """Add an order of work for this vehicle and lay the work out anew; what it contradicts, in words."""
    row = OwnOrder(
        job=job, first_stage=first.stage, first_section=first.section, then_stage=then.stage,
        then_section=then.section, why=why.strip(), by=by, at=at,
    )  # fmt: skip
    row.full_clean()
    row.save()
    return [finding["message"] for finding in lay_out_work(job=job, at=at).findings]


@transaction.atomic
def drop_own_order(*, order: OwnOrder, at: datetime) -> None:
    """Take an order of work out and lay the work out anew."""
    job = order.job
    order.delete()
    lay_out_work(job=job, at=at)
