"""What the customer has agreed to: the accepted revision and the changes accepted since.

The rules, terms and prices of a change are those frozen with the accepted revision, so a price list that moved, or an
hour rate that rose, never shows up as a change; only parts that nobody has priced before take today's price.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from typing import Any

from circuits.plan import Plan
from circuits.planning import store as planning_store
from circuits.planning.models import PlanRow
from circuits.rules import BuildRules
from circuits.sheets import read_sheet
from estimating.answer import answer
from estimating.labour.minutes import ElementMinutes, MinutesTable
from estimating.pricing.change import PricedChange, agreed_book, agreed_with_tax, price_change
from estimating.pricing.quote import PartPrice, QuoteLine
from estimating.quotes.changes import Changes, changes
from estimating.quotes.frozen import from_data
from estimating.quotes.kept import Kept
from estimating.quotes.models import QuoteRevision, State
from estimating.quotes.record import Record, plan_data, read_record
from estimating.quotes.store import costing_stamp, shop_rules
from estimating.rules import ShopRules
from estimating.takeoff.rules import TakeoffRules
from estimating.workup import work_up
from shop.billing.change_record import ChangeRecord, read_change
from shop.billing.models import Change, ChangeState
from shop.jobs.models import Job


@dataclass(frozen=True)
class Agreement:
    """An accepted revision with its accepted changes, in order."""

    revision: QuoteRevision
    record: Record
    changes: tuple[tuple[Change, ChangeRecord], ...]

    @cached_property
    def lines(self) -> tuple[QuoteLine, ...]:
        """All lines agreed on."""
        return (*self.record.priced.lines, *(line for _, record in self.changes for line in record.priced.lines))

    @cached_property
    def total(self) -> Decimal:
        """The agreed price with tax: the quote's total and the changes' totals."""
        return agreed_with_tax(self.lines, self.currency)

    @property
    def currency(self) -> str:
        """Currency of the accepted revision, kept for all that follows."""
        return self.record.priced.currency

    @property
    def plan(self) -> dict[str, Any]:
        """The circuit sheet agreed on last."""
        return self.changes[-1][1].plan if self.changes else self.record.plan

    @property
    def part_prices(self) -> tuple[PartPrice, ...]:
        """Prices that the customer has agreed to."""
        return (*self.record.priced.part_prices, *(part for _, record in self.changes for part in record.part_prices))

    @property
    def words(self) -> str:
        """What it is, for people."""
        since = f"revision {self.record.heading.revision} of quote {self.record.heading.number}"
        return f"{since} with change {self.changes[-1][0].number}" if self.changes else since

    @property
    def key(self) -> tuple[int, int]:
        """Names the agreement: a new acceptance gives another key."""
        return self.revision.pk, self.changes[-1][0].pk if self.changes else 0


@dataclass(frozen=True, slots=True)
class Difference:
    """Today's plan against the agreement: circuits, money, and what it would be measured by next."""

    circuits: Changes
    priced: PricedChange
    part_prices: tuple[PartPrice, ...]
    plan: dict[str, Any]
    faults: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.circuits.added or self.circuits.dropped or self.circuits.altered or self.priced.lines)

    @property
    def names(self) -> tuple[str, ...]:
        """Circuits that differ: added, altered, dropped."""
        altered = tuple(circuit.circuit for circuit in self.circuits.altered)
        return (*self.circuits.added, *altered, *self.circuits.dropped)


_DIFFERENCES: Kept[tuple[str, str, int, int], Difference] = Kept(room=64)


def agreement_of(job: Job) -> Agreement | None:
    """What the customer has agreed to on a job; None before a revision is accepted. Two queries."""
    revision = QuoteRevision.objects.filter(quote=job.quote_id, state=State.ACCEPTED).first()
    if revision is None:
        return None
    accepted = Change.objects.filter(job=job.pk, state=ChangeState.ACCEPTED).order_by("number")
    pairs = tuple((change, read_change(change.content)) for change in accepted)
    return Agreement(revision, read_record(revision.content), pairs)


def difference_of(job: Job, agreement: Agreement) -> Difference:
    """What today's plan of the job would change, kept in this process while neither side moves."""
    stamp = PlanRow.objects.values_list("stamp", flat=True).get(pk=job.plan_id)
    key = (stamp, costing_stamp(), *agreement.key)
    found = _DIFFERENCES.get(key)
    if found is None:
        loaded = planning_store.load(job.plan_id)
        found = difference(loaded.plan, agreement)
        _DIFFERENCES.put((loaded.row.stamp, *key[1:]), found)
    return found


def difference(plan: Plan, agreement: Agreement) -> Difference:
    """What ``plan`` would change: both sides worked up anew by the agreed rules, terms and prices."""
    rules = agreed_rules(agreement)
    agreed = work_up(plan_of(agreement.plan), rules)
    wanted = work_up(plan, rules)
    before = {"plan": agreement.plan, "answer": answer(agreed)}
    after = {"plan": plan_data(plan), "answer": answer(wanted)}
    return Difference(
        circuits=changes(before, after),
        priced=price_change(agreed.quote, wanted.quote, agreement.lines),
        part_prices=wanted.quote.part_prices,
        plan=after["plan"],
        faults=tuple(_faults(wanted.sized.findings)),
    )


def _faults(findings: Iterable[Any]) -> Iterable[str]:
    return (finding.message for finding in findings if str(finding.severity) == "error")


def agreed_rules(agreement: Agreement) -> ShopRules:
    """The rules that the accepted revision froze, with agreed prices before today's."""
    kept, record = agreement.record.rules, agreement.record
    return replace(
        shop_rules(),
        build=from_data(BuildRules, kept["build"]),
        takeoff=from_data(TakeoffRules, kept["takeoff"]),
        minutes=MinutesTable(from_data(tuple[ElementMinutes, ...], kept["minutes"])),
        condition_cv=float(kept["condition_cv"]),
        book=agreed_book(agreement.part_prices, shop_rules().book),
        terms=record.terms,
    )


def plan_of(data: dict[str, Any]) -> Plan:
    """The plan of a frozen circuit sheet."""
    return read_sheet(("plan.json", json.dumps(data).encode()))


def unaccepted_circuits(job: Job) -> tuple[str, ...]:
    """Names of circuits whose work the customer has not accepted: added, altered or dropped since.

    Empty before a revision is accepted: then nothing is. A fixed number of queries.
    """
    return unaccepted_of([job]).get(job.pk, ())


def unaccepted_of(jobs: Iterable[Job]) -> dict[int, tuple[str, ...]]:
    """Names of circuits whose work the customer has not accepted, by job; jobs without any are left out.

    Four queries, and more only for plans and agreements that this process has not compared before.
    """
    rows = tuple(jobs)
    accepted = QuoteRevision.objects.filter(quote__in=[job.quote_id for job in rows], state=State.ACCEPTED)
    revisions = dict(accepted.values_list("quote_id", "pk"))
    answered = Change.objects.filter(job__in=rows, state=ChangeState.ACCEPTED).order_by("number")
    last = dict(answered.values_list("job_id", "pk"))
    stamps = dict(PlanRow.objects.filter(pk__in=[job.plan_id for job in rows]).values_list("pk", "stamp"))
    costing = costing_stamp()
    found = {}
    for job in rows:
        if (revision := revisions.get(job.quote_id)) is None:
            continue
        known = _DIFFERENCES.get((stamps[job.plan_id], costing, revision, last.get(job.pk, 0)))
        if known is None and (agreement := agreement_of(job)):
            known = difference_of(job, agreement)
        if known is not None and known.names:
            found[job.pk] = known.names
    return found
