"""Packages of work: what they are called, which circuits each is done for, and in which order sections come."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from circuits.findings import Finding
from circuits.plan import Circuit, Covering, Disposition, Plan
from circuits.wiring import Wire, Wiring

WHOLE_VEHICLE = "whole vehicle"
"""Section of the work that belongs to no one section."""


class WorkStage(StrEnum):
    """Stages of the work, in the order a vehicle goes through them."""

    STRIP_OUT = "strip out"
    PANEL = "panel"
    PULL = "pull"
    TERMINATE = "terminate"
    PROVE = "prove"
    COVER = "cover"
    REFIT = "refit"


STAGES = tuple(WorkStage)


@dataclass(frozen=True, slots=True, order=True)
class PackageKey:
    """Names a package: its stage in one section."""

    stage: WorkStage
    section: str

    def __str__(self) -> str:
        return f"{self.stage}: {self.section}"


@dataclass(frozen=True, slots=True)
class Before:
    """``first`` must be done before ``then``, and why."""

    first: PackageKey
    then: PackageKey
    why: str


@dataclass(frozen=True, slots=True)
class Package:
    """One package of work.

    Parameters
    ----------
    key : PackageKey
    circuits : tuple of str
        Circuits it is done for, in plan order: each is ticked on its own. Empty for work on the whole vehicle.
    notes : tuple of str
        What to mind inside the package.
    after : tuple of Before
        What must be done before it.
    """

    key: PackageKey
    circuits: tuple[str, ...]
    notes: tuple[str, ...]
    after: tuple[Before, ...]


@dataclass(frozen=True, slots=True)
class OrderOfWork:
    """Packages in an order in which they can lawfully be done, and what made no sense."""

    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]


def section_order(plan: Plan) -> dict[str, int]:
    """Place of each section in plan order, the whole vehicle first.

    Examples
    --------
    >>> from circuits.plan import Vehicle
    >>> section_order(Plan(Vehicle(), (), (), ()))
    {'whole vehicle': 0}
    """
    names = dict.fromkeys((WHOLE_VEHICLE, *(circuit.section for circuit in plan.circuits)))
    return {name: place for place, name in enumerate(names)}


def contents_of(wiring: Wiring) -> dict[PackageKey, tuple[str, ...]]:
    """Circuits of each package there is.

    Parameters
    ----------
    wiring : Wiring
    """
    wired = {wire.circuit for wire in wiring.wires}
    fused = {protection.circuit for protection in wiring.protections}
    covered = {wire.circuit for wire in wiring.wires if not wire.is_existing and _is_covered(wire, wiring.plan)}
    contents: dict[PackageKey, list[str]] = {PackageKey(WorkStage.STRIP_OUT, WHOLE_VEHICLE): []}
    for circuit in wiring.plan.circuits:
        for stage in _stages_of(circuit, circuit.name in wired, circuit.name in fused, circuit.name in covered):
            section = WHOLE_VEHICLE if stage is WorkStage.PANEL else circuit.section
            contents.setdefault(PackageKey(stage, section), []).append(circuit.name)
    if any(circuit.disposition.is_wired for circuit in wiring.plan.circuits):
        contents.setdefault(PackageKey(WorkStage.PROVE, WHOLE_VEHICLE), [])
    return {key: tuple(names) for key, names in contents.items()}


def _is_covered(wire: Wire, plan: Plan) -> bool:
    return any(plan.runs[run].covering is not Covering.NONE for run in wire.path.runs)


def _stages_of(circuit: Circuit, wired: bool, fused: bool, covered: bool) -> Iterable[WorkStage]:
    disposition = circuit.disposition
    if disposition in (Disposition.REPLACE, Disposition.REMOVE, Disposition.CAP_OFF):
        yield WorkStage.STRIP_OUT
    if not disposition.is_wired or not wired:
        return
    if disposition.is_pulled_new:
        if fused:
            yield WorkStage.PANEL
        yield WorkStage.PULL
    if disposition is not Disposition.KEEP:
        yield WorkStage.TERMINATE
    yield WorkStage.PROVE
    if covered:
        yield WorkStage.COVER
    if disposition is not Disposition.KEEP:
        yield WorkStage.REFIT
