"""The kit of a job: what it gets from which bin or order, whether it is complete, and giving it out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from django.db import transaction
from django.db.models import Sum

from estimating.buying.kinds import Measure
from estimating.purchasing.demand import DemandLine
from estimating.purchasing.models import ReservationRow, SettledRow
from estimating.purchasing.rules_store import buying_row
from estimating.quotes.rules import RefusedError
from estimating.stock.kinds import natural
from estimating.stock.models import HoldingRow, MaterialRow
from estimating.stock.services import Act, StockError, issue


class KitState(StrEnum):
    """How far the material of a job is."""

    UNPLANNED = "not planned"
    CHANGED = "plan has changed"
    MISSING = "parts missing"
    WAITING = "waiting for parts"
    READY = "kit ready"
    GIVEN_OUT = "kit given out"
    SETTLED = "needs no more"


NEXT_STEP = {
    KitState.UNPLANNED: "Plan what to buy: nothing is reserved for this job yet.",
    KitState.CHANGED: "The circuit plan asks for more than is reserved: plan what to buy again.",
    KitState.MISSING: "Some parts come from nowhere yet: plan what to buy again.",
    KitState.WAITING: "Wait for the delivery, then enter it.",
    KitState.READY: "Pick the kit by bin, cut the wires, give it out.",
    KitState.GIVEN_OUT: "All material is with the job.",
    KitState.SETTLED: "Nothing is bought or kept for this job any more.",
}


@dataclass(frozen=True, slots=True)
class KitLine:
    """One thing of a kit.

    Parameters
    ----------
    wanted : str
        Key of the kind that is needed.
    given : str
        Key of what is taken; another one where something stands in, empty where it comes from nowhere yet.
    cut : str
    amount : int
    says : str
        The amount, for people.
    bin, roll : str
        Where it lies; ``roll`` also names the roll of an order that is under way.
    comes_on : date or None
        For what is on order.
    is_here, is_given_out : bool
    """

    wanted: str
    given: str
    cut: str
    amount: int
    says: str
    bin: str
    roll: str
    comes_on: date | None
    is_here: bool
    is_given_out: bool

    @property
    def is_substitute(self) -> bool:
        """True where something else stands in."""
        return bool(self.given) and self.given != self.wanted


@dataclass(frozen=True, slots=True)
class Kit:
    """All that a job gets, and how far it is."""

    job: str
    state: KitState
    lines: tuple[KitLine, ...]
    unplanned: tuple[DemandLine, ...] = ()

    @property
    def next_step(self) -> str:
        """What to do next."""
        return NEXT_STEP[self.state]

    @property
    def comes_on(self) -> date | None:
        """Day on which the last of it comes; None where nothing is on order."""
        return max((line.comes_on for line in self.lines if line.comes_on), default=None)

    @property
    def by_cut(self) -> dict[str, KitLine]:
        """Lines of cuts, by the name of the wire."""
        return {line.cut: line for line in self.lines if line.cut}

    @property
    def awaited(self) -> tuple[KitLine, ...]:
        """What is not in stock yet."""
        return tuple(line for line in self.lines if not line.is_here)

    @property
    def to_pick(self) -> tuple[KitLine, ...]:
        """What is fetched for the bench, by bin: rolls once each, with the metres that are cut from them."""
        together: dict[tuple[str, str, str], list[KitLine]] = defaultdict(list)
        for line in self.lines:
            if line.is_here and not line.is_given_out:
                together[line.bin, line.given, line.roll].append(line)
        order = sorted(together, key=lambda key: tuple(map(natural, key)))
        return tuple(_picked(together[key]) for key in order)


def _picked(lines: list[KitLine]) -> KitLine:
    first, amount = lines[0], sum(line.amount for line in lines)
    says = f"{amount / 1000:.2f} m" if first.says.endswith("m") else f"{amount} pc"
    cuts = f"{len(lines)} cuts" if first.cut and len(lines) > 1 else first.cut
    return KitLine(first.given, first.given, cuts, amount, says, first.bin, first.roll, None, True, False)


def kits_of(demand: Iterable[DemandLine], jobs: Iterable[str]) -> dict[str, Kit]:
    """The kits of jobs. Four queries, whatever their number.

    Parameters
    ----------
    demand : iterable of DemandLine
        What their plans still ask for.
    jobs : iterable of str
    """
    rows: dict[str, list[ReservationRow]] = {job: [] for job in jobs}
    links = ("holding__material", "order_line__material", "order_line__order")
    for row in ReservationRow.objects.filter(job__in=list(rows)).select_related(*links).order_by("pk"):
        rows[row.job].append(row)
    wanted: dict[str, list[DemandLine]] = {job: [] for job in rows}
    for line in demand:
        wanted[line.job].append(line)
    settled = set(SettledRow.objects.filter(job__in=list(rows)).values_list("job", flat=True))
    short = _short_holdings(row.holding_id for each in rows.values() for row in each)
    return {job: _kit(job, rows[job], wanted[job], short, is_settled=job in settled) for job in rows}


def _short_holdings(keys: Iterable[int | None]) -> frozenset[int]:
    """Those in which less lies than is reserved from them: something was scrapped, counted or taken by hand."""
    wanted = {key for key in keys if key is not None}
    waiting = ReservationRow.objects.filter(holding__in=wanted, issued_at=None).order_by()
    reserved = dict(waiting.values_list("holding").annotate(Sum("amount")))
    levels = {row.pk: row.level for row in HoldingRow.objects.filter(pk__in=reserved).with_level()}
    return frozenset(key for key, amount in reserved.items() if levels[key] < amount)


def _kit(
    job: str, rows: list[ReservationRow], wanted: list[DemandLine], short: frozenset[int], *, is_settled: bool
) -> Kit:
    lines = tuple(_line(row, is_short=row.holding_id in short) for row in rows)
    unplanned = _unplanned(rows, wanted)
    return Kit(job, KitState.SETTLED if is_settled else _state(lines, unplanned), lines, unplanned)


def _state(lines: tuple[KitLine, ...], unplanned: tuple[DemandLine, ...]) -> KitState:
    if not lines:
        return KitState.UNPLANNED
    if unplanned:
        return KitState.CHANGED
    if any(not line.given for line in lines):
        return KitState.MISSING
    if any(not line.is_here for line in lines):
        return KitState.WAITING
    return KitState.GIVEN_OUT if all(line.is_given_out for line in lines) else KitState.READY


def _unplanned(rows: list[ReservationRow], wanted: list[DemandLine]) -> tuple[DemandLine, ...]:
    """What the plan asks for beyond what is reserved."""
    reserved: dict[tuple[str, str], int] = defaultdict(int)
    for row in rows:
        if row.issued_at is None:
            reserved[row.kind, row.cut] += row.amount
    return tuple(line for line in wanted if reserved[line.kind.key, line.cut] < line.amount)


def _line(row: ReservationRow, *, is_short: bool) -> KitLine:
    """A line of a kit. What is reserved but lies there no more comes from nowhere."""
    if is_short and row.issued_at is None:
        return KitLine(row.kind, "", row.cut, row.amount, _says(row, None), "", "", None, False, False)
    material: MaterialRow | None = None
    place = roll = ""
    comes_on = None
    if row.holding is not None:
        material, place, roll = row.holding.material, row.holding.bin, row.holding.label
    elif row.order_line is not None:
        material, comes_on = row.order_line.material, row.order_line.arrives
        roll = f"{row.order_line.order.number}, roll {row.roll}" if row.roll else row.order_line.order.number
    return KitLine(
        wanted=row.kind,
        given=material.key if material else "",
        cut=row.cut,
        amount=row.amount,
        says=_says(row, material),
        bin=place,
        roll=roll,
        comes_on=comes_on,
        is_here=row.holding_id is not None,
        is_given_out=row.issued_at is not None,
    )


def _says(row: ReservationRow, material: MaterialRow | None) -> str:
    if material is not None:
        return material.says(row.amount)
    return f"{row.amount / 1000:.2f} m" if row.cut else str(row.amount)


@transaction.atomic
def give_out(*, job: str, by: str, at: datetime) -> int:
    """Gives what is in stock for a job to it, cut by cut; the number of lines given out.

    Raises
    ------
    RefusedError
        Where nothing for the job is in stock.
    """
    blade_mm = buying_row().blade_loss_mm
    rows = ReservationRow.objects.select_for_update(of=("self",)).filter(job=job, issued_at=None, holding__isnull=False)
    given = 0
    for row in rows.select_related("holding__material").order_by("pk"):
        assert row.holding is not None
        loss = blade_mm if row.holding.material.measure is Measure.CUTS else 0
        act = Act(by, at, job, note=row.cut, key=f"kit {row.pk}")
        try:
            issue(holding=row.holding, amount=row.amount, act=act, blade_mm=loss)
        except StockError as error:
            raise RefusedError(f"{error}. Plan what to buy again: less is there than was reserved.") from error
        row.issued_at = at
        row.save(update_fields=["issued_at"])
        given += 1
    if not given:
        raise RefusedError(f"Nothing for job {job} is in stock and not given out yet.")
    return given


@transaction.atomic
def settle(*, job: str, by: str, at: datetime) -> None:
    """Says that a job needs no more material; what is reserved for it is let go. Said twice, it is said once."""
    SettledRow.objects.get_or_create(job=job, defaults={"at": at, "by": by})
    release(job=job)


def unsettle(*, job: str) -> None:
    """Says that a job needs material after all."""
    SettledRow.objects.filter(job=job).delete()


def release(*, job: str) -> int:
    """Lets go of what is reserved for a job and not given out; the number of lines let go."""
    return ReservationRow.objects.filter(job=job, issued_at=None).delete()[0]
