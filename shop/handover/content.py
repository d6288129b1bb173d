"""What a handover sheet says, as frozen values: all that is printed, nothing that has to be looked up again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from estimating.quotes.paper_content import Letterhead


class Outcome(StrEnum):
    """What came of a check."""

    PASSED = "passed"
    FAILED = "failed"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class ProofLine:
    """One check with its last reading.

    Parameters
    ----------
    group, what : str
        Heading of the check sheet, and where the meter went.
    limit, reading : str
        With units, as people read them; ``reading`` is empty where nothing was read.
    outcome : Outcome
    by, meter : str
    at : datetime or None
    """

    group: str
    what: str
    limit: str
    reading: str
    outcome: Outcome
    by: str = ""
    at: datetime | None = None
    meter: str = ""


@dataclass(frozen=True, slots=True)
class OverrideLine:
    """A lock that an owner lifted.

    Parameters
    ----------
    what, reason, owner : str
    at : datetime or None
    """

    what: str
    reason: str
    owner: str
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class FaultLine:
    """A fault that is open.

    Parameters
    ----------
    number : int
    does, should, switches : str
        What happens, what ought to, in which switch states.
    circuits : tuple of str
    weight : str
        In words: endangers people, stops the vehicle, comfort.
    endangers : bool
        True where people are in danger: then the vehicle may not leave.
    advice : str
        What the owner must know while it is open.
    """

    number: int
    does: str
    should: str = ""
    switches: str = ""
    circuits: tuple[str, ...] = ()
    weight: str = ""
    endangers: bool = False
    advice: str = ""


@dataclass(frozen=True, slots=True)
class WireKind:
    """Size and colour of wires, e.g. ``14 AWG`` and ``RD/BK``."""

    size: str
    colour: str


@dataclass(frozen=True, slots=True)
class FusePosition:
    """One position of a panel.

    Parameters
    ----------
    number : int
        Counted from 1 in the panel.
    circuit, feeds : str
        Name of the circuit, and what it drives.
    rating_a : float
        [A].
    family, colour : str
        ``blade`` and ``blue``; a rating without a colour of its own has none.
    wires : tuple of WireKind
        The wires that this fuse protects, each kind once.
    label : str
        As marked on the panel; empty where it has none.
    """

    number: int
    circuit: str
    feeds: str
    rating_a: float
    family: str
    colour: str
    wires: tuple[WireKind, ...]
    label: str = ""

    @property
    def at(self) -> str:
        """What it is found by: its label, else its number."""
        return self.label or str(self.number)


@dataclass(frozen=True, slots=True)
class FusePanel:
    """A place where fuses sit, with its positions in order."""

    place: str
    positions: tuple[FusePosition, ...]


@dataclass(frozen=True, slots=True)
class CircuitDone:
    """One circuit as it was done: ``work`` is replace, new, repair, keep, remove or cap off; ``fuse`` in words."""

    circuit: str
    section: str
    work: str
    load: str
    fuse: str
    wires: tuple[WireKind, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """The fuse chart alone: what the card in the glovebox needs.

    Parameters
    ----------
    shop : Letterhead
    locale : str
    job, revision : str
        Number of the job; revision of the handover, ``1`` or ``2 draft``.
    vehicle, plate, chassis_number, customer : str
    system_v : float
        [V].
    made_at : datetime
        Of release; of asking for a draft.
    job_url : str
        What the printed code links to.
    panels : tuple of FusePanel
    cautions : tuple of str
    """

    shop: Letterhead
    locale: str
    job: str
    revision: str
    vehicle: str
    plate: str
    chassis_number: str
    customer: str
    system_v: float
    made_at: datetime
    job_url: str
    panels: tuple[FusePanel, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HandoverContent:
    """The whole sheet.

    Parameters
    ----------
    chart : Chart
    title : str
        Of the job.
    basis : str
        Which quote and revision the work was accepted by, who accepted it and when.
    plan_version : int
    circuits : tuple of CircuitDone
    proof : tuple of ProofLine
    overrides : tuple of OverrideLine
    faults : tuple of FaultLine
        Left open.
    technicians : tuple of str
        Who took the readings.
    released_by : str
        Name and role; empty on a draft.
    is_draft : bool
    """

    chart: Chart
    title: str
    basis: str
    plan_version: int
    circuits: tuple[CircuitDone, ...]
    proof: tuple[ProofLine, ...]
    overrides: tuple[OverrideLine, ...]
    faults: tuple[FaultLine, ...]
    technicians: tuple[str, ...]
    released_by: str = ""
    is_draft: bool = True

    @property
    def meters(self) -> tuple[str, ...]:
        """Every meter that a reading was taken with, once."""
        return tuple(dict.fromkeys(line.meter for line in self.proof if line.meter))
