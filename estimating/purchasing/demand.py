"""What jobs need, each line with its job, its circuits and the day by which it must be in. Pure values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Self

from estimating.buying.kinds import Kind, Measure
from estimating.buying.week import Need, Settings
from estimating.buying.working_days import is_workday
from estimating.stock.kinds import MM_PER_M, buying_kind, in_words, kind_key, measure_of, whole
from estimating.takeoff.parts import PartKind
from estimating.takeoff.scope import Scope
from estimating.takeoff.wires import wire_spec
from estimating.workup import WorkUp

CUT_KINDS = (PartKind.WIRE, PartKind.REPAIR_LENGTH)


@dataclass(frozen=True, slots=True)
class JobAhead:
    """A job as the floor above tells of it.

    Parameters
    ----------
    ref : str
        Its number.
    title : str
    plan_id : int
    starts_on : date
    is_likely : bool
        True where the customer has not accepted yet.
    """

    ref: str
    title: str
    plan_id: int
    starts_on: date
    is_likely: bool = False

    def record(self) -> dict[str, Any]:
        """As it is kept with a run."""
        return {
            "ref": self.ref,
            "title": self.title,
            "plan_id": self.plan_id,
            "starts_on": self.starts_on.isoformat(),
            "is_likely": self.is_likely,
        }

    @classmethod
    def of(cls, record: dict[str, Any]) -> Self:
        """From what was kept.

        Examples
        --------
        >>> job = JobAhead("J-1", "Rewire", 7, date(2026, 3, 2))
        >>> JobAhead.of(job.record()) == job
        True
        """
        return cls(**{**record, "starts_on": date.fromisoformat(record["starts_on"])})


@dataclass(frozen=True, slots=True)
class DemandLine:
    """Something one job needs.

    Parameters
    ----------
    job : str
    kind : Kind
    cut : str
        Name of the wire; empty for what is not cut.
    amount : int
        Pieces, or millimetres.
    circuits : tuple of str
        That cause it; empty where the whole loom does.
    needed_by : date
    part_kind : PartKind
    spec : str
        As the take-off names it.
    """

    job: str
    kind: Kind
    cut: str
    amount: int
    circuits: tuple[str, ...]
    needed_by: date
    part_kind: PartKind = PartKind.WIRE
    spec: str = ""

    @property
    def ref(self) -> str:
        """Unique among the needs."""
        return f"{self.job}: {self.cut or self.kind.key}"

    @property
    def says(self) -> str:
        """The amount, for people."""
        return in_words(self.kind.measure, self.amount)

    def of(self, amount: int) -> str:
        """Another amount of the same, for people."""
        return in_words(self.kind.measure, amount)

    def need(self) -> Need:
        """As buying takes it."""
        if self.kind.measure is Measure.PARTS:
            count, length_m = self.amount, None
        else:
            count, length_m = 1, self.amount / MM_PER_M
        circuit = ", ".join(self.circuits)
        return Need(self.ref, self.kind.key, self.needed_by, count, length_m, self.job, circuit)


@dataclass(frozen=True, slots=True)
class Drawn:
    """Material of one kind that a plan asks for beyond, or short of, what was agreed.

    Parameters
    ----------
    kind : str
    says : str
        How much more or less, for people.
    is_more : bool
    circuits : tuple of str
        That came or went with it, else those behind it; empty where the whole loom is.
    """

    kind: str
    says: str
    is_more: bool
    circuits: tuple[str, ...]


def drawn_since(agreed: Iterable[DemandLine], drawn: Iterable[DemandLine]) -> tuple[Drawn, ...]:
    """What one job's plan asks for beyond what was agreed, and what it no longer asks for, by kind.

    Examples
    --------
    >>> from dataclasses import replace
    >>> line = DemandLine("J-1", Kind("relay"), "", 2, ("horn",), date(2026, 3, 2))
    >>> drawn_since([line], [replace(line, amount=5, circuits=("fan", "horn"))])
    (Drawn(kind='relay', says='3 pc', is_more=True, circuits=('fan',)),)
    """
    before = {(line.kind.key, line.cut): line for line in agreed}
    after = {(line.kind.key, line.cut): line for line in drawn}
    amounts: dict[str, int] = {}
    behind: dict[str, set[str]] = {}
    measures = {}
    for key in {**before, **after}:
        old, new = before.get(key), after.get(key)
        more = (new.amount if new else 0) - (old.amount if old else 0)
        if more:
            one = new or old
            assert one is not None
            amounts[one.kind.key] = amounts.get(one.kind.key, 0) + more
            both = set(old.circuits if old else ()), set(new.circuits if new else ())
            behind.setdefault(one.kind.key, set()).update((both[0] ^ both[1]) or both[1])
            measures[one.kind.key] = one.kind.measure
    return tuple(
        Drawn(kind, in_words(measures[kind], abs(more)), more > 0, tuple(sorted(behind[kind])))
        for kind, more in sorted(amounts.items())
        if more
    )


def needed_by(starts_on: date, days_before: int, settings: Settings) -> date:
    """The last day on which material may come in: so many working days before the job starts.

    Examples
    --------
    >>> needed_by(date(2026, 3, 2), 1, Settings())  # a Monday: the Friday before
    datetime.date(2026, 2, 27)
    """
    day = starts_on
    for _ in range(days_before):
        day -= timedelta(days=1)
        while not is_workday(day, settings):
            day -= timedelta(days=1)
    return day


def lines_of(job: str, work_up: WorkUp, by: date) -> tuple[DemandLine, ...]:
    """Everything a plan needs: each wire as one cut, all else by kind.

    Parameters
    ----------
    job : str
    work_up : WorkUp
    by : date
        Day by which it must be in.

    Returns
    -------
    tuple of DemandLine

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> from estimating.workup import work_up_sized
    >>> lines = lines_of("J-1", work_up_sized(example_sized_plan()), date(2026, 3, 2))
    >>> [(line.cut, line.kind.key, line.says) for line in lines][0]
    ('tail lamps/1', 'wire 16 AWG BN, 125 °C', '3.35 m')
    """
    return (*_cuts(job, work_up, by), *_others(job, work_up, by))


def _cuts(job: str, work_up: WorkUp, by: date) -> Iterable[DemandLine]:
    sized = work_up.sized
    heat = sized.rules.sizing.insulation_class_c
    for wire in Scope.of(sized).fresh:
        spec = wire_spec(wire)
        kind = buying_kind(PartKind.WIRE, spec, heat)
        amount = whole(kind.measure, wire.wire.length_m)
        yield DemandLine(job, kind, wire.wire.name, amount, (wire.wire.circuit,), by, PartKind.WIRE, spec)
    for part in work_up.parts:
        if part.kind is not PartKind.REPAIR_LENGTH:
            continue
        kind = buying_kind(part.kind, part.spec, heat)
        amount = whole(kind.measure, part.quantity / len(part.circuits))
        for circuit in part.circuits:  # each repair lets in a length of its own
            yield DemandLine(job, kind, f"{circuit}/repair", amount, (circuit,), by, PartKind.WIRE, part.spec)


def _others(job: str, work_up: WorkUp, by: date) -> Iterable[DemandLine]:
    for part in work_up.parts:
        if part.kind in CUT_KINDS:
            continue
        kind = Kind(kind_key(part.kind, part.spec), measure_of(part.kind))
        amount = whole(kind.measure, part.quantity)
        yield DemandLine(job, kind, "", amount, part.circuits, by, part.kind, part.spec)
