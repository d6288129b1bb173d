"""What the pages of the materials section show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimating.purchasing.cut_list import CutRow, cut_list
from estimating.purchasing.kits import Kit
from estimating.purchasing.models import RunRow
from estimating.purchasing.rules_store import buying_row
from estimating.purchasing.states import OPEN_RUNS, RunState
from estimating.purchasing.week_store import demand_of
from estimating.quotes.paper_words import InWords
from estimating.quotes.store import shop_rules
from estimating.stock.models import MaterialRow
from shop.jobs.models import Job
from shop.materials.agreed import NotAgreed, not_agreed, work_of
from shop.materials.work import JobNeeds, NeedLine, ahead, job_needs, jobs_ahead, kit_of, need_lines, undated_jobs


@dataclass(frozen=True, slots=True)
class NeedsPage:
    """The jobs ahead and what they still need.

    Parameters
    ----------
    jobs : tuple of JobNeeds
    lines : tuple of NeedLine
    not_agreed : tuple of NotAgreed
        Jobs whose plan has moved on from what was agreed.
    undated : tuple of Job
        Accepted jobs without a start: nothing is bought for them.
    run : RunRow or None
        The run under way, or the last one that waits to be ordered.
    low : int
        Materials below the level that the shop keeps.
    horizon_days : int
    with_likely : bool
    """

    jobs: tuple[JobNeeds, ...]
    lines: tuple[NeedLine, ...]
    not_agreed: tuple[NotAgreed, ...]
    undated: tuple[Job, ...]
    run: RunRow | None
    low: int
    horizon_days: int
    with_likely: bool


def needs_page(today: date, *, with_likely: bool) -> NeedsPage:
    """The page of needs."""
    days = buying_row().horizon_days
    jobs = jobs_ahead(today=today, horizon_days=days, with_likely=with_likely)
    demand = demand_of(jobs)
    needs = job_needs(jobs, demand)
    newest = RunRow.objects.defer("result").first()
    return NeedsPage(
        jobs=needs,
        lines=need_lines(demand, [need.kit for need in needs]),
        not_agreed=not_agreed(jobs),
        undated=undated_jobs(),
        run=newest if newest and newest.state in (*OPEN_RUNS, RunState.READY) else None,
        low=MaterialRow.objects.with_level().low().count(),
        horizon_days=days,
        with_likely=with_likely,
    )


@dataclass(frozen=True, slots=True)
class KitPage:
    """The kit of a job with its cut list; ``not_agreed`` is what has been drawn beyond what the customer agreed to."""

    kit: Kit
    cuts: tuple[CutRow, ...]
    not_agreed: NotAgreed | None


def kit_page(job: Job) -> KitPage:
    """The page of a job's kit."""
    kit = kit_of(job)
    beyond = not_agreed((ahead(job),)) if job.starts_on else ()
    return KitPage(kit, cut_list(work_of(job).sized, kit), beyond[0] if beyond else None)


def labels_each() -> int:
    """Labels that a wire gets: as many as the take-off counts."""
    return round(shop_rules().takeoff.labels_per_wire)


def words_of_shop() -> InWords:
    """The shop's money and dates in words."""
    terms = shop_rules().terms
    return InWords(terms.currency, terms.locale)
