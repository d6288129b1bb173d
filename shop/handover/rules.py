"""May the vehicle leave? A pure decision, told with every reason against it."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.errors import LoomwrightError
from shop.handover.content import FaultLine, Outcome, OverrideLine, ProofLine


class RefusedError(LoomwrightError, ValueError):
    """A release that the rules do not allow. Carries every reason, each a sentence for people."""

    def __init__(self, *reasons: str) -> None:
        self.reasons = reasons
        super().__init__(" ".join(reasons))


@dataclass(frozen=True, slots=True)
class WorkState:
    """What stands at the vehicle.

    Parameters
    ----------
    accepted_revision : int or None
        Of the quote; None where the customer has accepted none.
    unaccepted : tuple of str
        Circuits whose work the customer has not accepted: added, altered or dropped since.
    is_sheet_stale : bool
        True where the plan has changed since the check sheet was made.
    proof : tuple of ProofLine
        Every check of the check sheet.
    faults : tuple of FaultLine
        Those open.
    overrides : tuple of OverrideLine
    """

    accepted_revision: int | None = None
    unaccepted: tuple[str, ...] = ()
    is_sheet_stale: bool = False
    proof: tuple[ProofLine, ...] = ()
    faults: tuple[FaultLine, ...] = ()
    overrides: tuple[OverrideLine, ...] = ()


def reasons_not_to_release(state: WorkState) -> tuple[str, ...]:
    """Why the vehicle may not leave; empty where it may.

    An override lets the battery be connected, never the vehicle leave: what it lifted is still to be proved.

    Parameters
    ----------
    state : WorkState

    Examples
    --------
    >>> passed = ProofLine("Grounds", "Ground point dash", "at most 0.1 ohm", "0.04 ohm", Outcome.PASSED)
    >>> reasons_not_to_release(WorkState(accepted_revision=2, proof=(passed,)))
    ()
    >>> reasons_not_to_release(WorkState(accepted_revision=2))
    ('No check has been made: the check sheet is empty.',)
    """
    reasons = []
    if state.accepted_revision is None:
        reasons.append("The customer has accepted no quote.")
    if state.unaccepted:
        reasons.append(f"The customer has not accepted what was changed since: {', '.join(state.unaccepted)}.")
    if not state.proof:
        reasons.append("No check has been made: the check sheet is empty.")
    elif state.is_sheet_stale:
        reasons.append("The plan has changed since the check sheet was made: make it anew.")
    reasons += [_failed(line) for line in state.proof if line.outcome is Outcome.FAILED]
    reasons += _missing(state.proof)
    reasons += [
        f"Fault {fault.number} endangers people and is open: {fault.does.rstrip('.')}."
        for fault in state.faults
        if fault.endangers
    ]
    reasons += [
        f"Fault {fault.number} stays open without advice: say what the owner must know."
        for fault in state.faults
        if not fault.endangers and not fault.advice.strip()
    ]
    return tuple(reasons)


def _failed(line: ProofLine) -> str:
    read = f": {line.reading}, {line.limit}" if line.reading else ""
    return f"Check failed, {line.group}: {line.what.rstrip('.')}{read}."


def _missing(proof: tuple[ProofLine, ...]) -> list[str]:
    """One reason a heading, naming every check below it that has no reading."""
    by_group: dict[str, list[str]] = {}
    for line in proof:
        if line.outcome is Outcome.MISSING:
            by_group.setdefault(line.group, []).append(line.what.rstrip("."))
    return [
        f"{'Check' if len(names) == 1 else f'{len(names)} checks'} missing, {group}: {'; '.join(names)}."
        for group, names in by_group.items()
    ]
