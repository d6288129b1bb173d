"""What of a job's material is not here yet, and which work cannot go on without it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from circuits.harness.order import WorkStage
from estimating.purchasing.demand import DemandLine
from estimating.purchasing.kits import Kit, KitState, kits_of
from estimating.purchasing.week_store import demand_of
from estimating.takeoff.parts import PartKind
from shop.jobs.models import Job, Stage
from shop.materials.work import ahead

COMPLETE = (KitState.READY, KitState.GIVEN_OUT, KitState.SETTLED)

NEEDED_AT: dict[PartKind, WorkStage] = {
    PartKind.END_CAP: WorkStage.STRIP_OUT,
    PartKind.FUSE_HOLDER: WorkStage.PANEL,
    PartKind.PANEL_POSITION: WorkStage.PANEL,
    PartKind.RELAY: WorkStage.PANEL,
    PartKind.RELAY_SOCKET: WorkStage.PANEL,
    PartKind.WIRE: WorkStage.PULL,
    PartKind.LABEL: WorkStage.PULL,
    PartKind.GROMMET: WorkStage.PULL,
    PartKind.TERMINAL: WorkStage.TERMINATE,
    PartKind.CONNECTOR: WorkStage.TERMINATE,
    PartKind.CAVITY_PLUG: WorkStage.TERMINATE,
    PartKind.SPLICE: WorkStage.TERMINATE,
    PartKind.HEAT_SHRINK: WorkStage.TERMINATE,
    PartKind.REPAIR_LENGTH: WorkStage.TERMINATE,
    PartKind.FUSE: WorkStage.PROVE,
    PartKind.COVERING: WorkStage.COVER,
    PartKind.TAPE: WorkStage.COVER,
    PartKind.CLIP: WorkStage.REFIT,
}
"""Stage of the work in which each kind of part is first needed (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Shortage:
    """One thing that is not here.

    Parameters
    ----------
    what : str
        Key of the kind.
    stage : WorkStage
        Work that needs it.
    circuits : tuple of str
        That need it; empty where the whole loom does.
    comes_on : date or None
        None where it has not been ordered.
    """

    what: str
    stage: WorkStage
    circuits: tuple[str, ...]
    comes_on: date | None = None

    def stops(self, stage: str, circuits: Iterable[str]) -> bool:
        """True where a package of that stage and those circuits cannot go on without it; no circuits = the vehicle.

        Examples
        --------
        >>> lamp = Shortage("wire 14 AWG RD, 125 °C", WorkStage.PULL, ("tail lamp",))
        >>> lamp.stops("pull", ["tail lamp", "horn"]), lamp.stops("pull", ["horn"]), lamp.stops("prove", ["tail lamp"])
        (True, False, False)
        """
        mine = set(circuits)
        return self.stage == stage and (not mine or not self.circuits or bool(mine & set(self.circuits)))


def shortages_of(jobs: Iterable[Job]) -> dict[int, tuple[Shortage, ...]]:
    """What is not here, by job; nothing for jobs that are not booked or have no start: nothing is bought for them yet.

    A fixed number of queries, and more only for plans that this process has not worked up before.
    """
    rows = [job for job in jobs if job.stage == Stage.BOOKED and job.starts_on]
    if not rows:
        return {}
    demand = demand_of([ahead(job) for job in rows])
    kits = kits_of(demand, [job.number for job in rows])
    return {job.pk: shortages(kits[job.number], [line for line in demand if line.job == job.number]) for job in rows}


def shortages(kit: Kit, demand: Iterable[DemandLine]) -> tuple[Shortage, ...]:
    """What of a kit is not here: asked for by the plan and reserved nowhere, or reserved of what is still to come.

    Parameters
    ----------
    kit : Kit
    demand : iterable of DemandLine
        What the job's plan still asks for.
    """
    if kit.state in COMPLETE:
        return ()
    wanted = {(line.kind.key, line.cut): line for line in demand}
    found = [_shortage(line, None) for line in kit.unplanned]
    for awaited in kit.awaited:
        line = wanted.get((awaited.wanted, awaited.cut))
        if line is not None and line not in kit.unplanned:
            found.append(_shortage(line, awaited.comes_on))
    return tuple(found)


def _shortage(line: DemandLine, comes_on: date | None) -> Shortage:
    kind = PartKind.REPAIR_LENGTH if line.cut.endswith("/repair") else line.part_kind
    return Shortage(line.kind.key, NEEDED_AT[kind], line.circuits, comes_on)
