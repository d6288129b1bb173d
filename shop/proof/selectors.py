"""How a vehicle's proof stands: what is missing, whether the battery may go on, why it may not leave."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shop.faults.models import Fault, Weight
from shop.jobs.models import Job
from shop.proof.judging import Verdict
from shop.proof.limits import Limits
from shop.proof.models import BatteryAct, CheckRow, LimitRow, ProofSheet

NO_SHEET = "No check sheet has been made."
CHANGED = "The plan has changed since the check sheet was made: make it anew."


@dataclass(frozen=True, slots=True)
class ProofState:
    """How the proof of a job stands.

    Parameters
    ----------
    sheet : ProofSheet or None
    checks : tuple of CheckRow
        In order, with their latest reading.
    acts : tuple of BatteryAct
        Oldest first.
    missing : tuple of str
        What keeps the battery off, in words; empty = it may be connected.
    missing_for_source : tuple of str
        What keeps even a limited source off.
    """

    sheet: ProofSheet | None
    checks: tuple[CheckRow, ...]
    acts: tuple[BatteryAct, ...]
    missing: tuple[str, ...]
    missing_for_source: tuple[str, ...]

    @property
    def is_on(self) -> bool:
        """True where the battery is connected."""
        return bool(self.acts) and self.acts[-1].is_on

    @property
    def overrides(self) -> tuple[BatteryAct, ...]:
        """Every time the battery went on although something was missing."""
        return tuple(act for act in self.acts if act.is_override)

    @property
    def may_feed(self) -> bool:
        """True where a limited source may feed the vehicle."""
        return self.is_on or not self.missing_for_source


def proof_state(job: Job) -> ProofState:
    """How the proof of the job stands; ``job.plan`` is read. Four queries at most."""
    sheet = ProofSheet.objects.filter(job=job).first()
    checks = tuple(CheckRow.objects.filter(job=job, is_current=True).select_related("latest", "latest__by"))
    general: tuple[str, ...] = ()
    if sheet is None or not checks:
        general = (NO_SHEET,)
    elif sheet.plan_version != job.plan.version:
        general = (CHANGED,)
    acts = tuple(BatteryAct.objects.filter(job=job).select_related("by"))
    return ProofState(
        sheet,
        checks,
        acts,
        (*general, *_unproved(check for check in checks if check.is_before_battery)),
        (*general, *_unproved(check for check in checks if check.is_before_power)),
    )


def _unproved(checks: Iterable[CheckRow]) -> Iterable[str]:
    return (f"{check.what}: {check.verdict}" for check in checks if check.verdict is not Verdict.PASSED)


def release_reasons(job: Job) -> tuple[str, ...]:
    """Why the vehicle may not leave the shop: checks missing or failed, open faults that endanger people.

    Empty where it may.
    """
    state = proof_state(job)
    general = tuple(reason for reason in state.missing if reason in (NO_SHEET, CHANGED))
    dangers = Fault.objects.open().filter(job=job, weight=Weight.DANGER).order_by("number")
    return (*general, *_unproved(state.checks), *(f"Open and endangers people: {fault}" for fault in dangers))


def shop_limits() -> Limits:
    """The limits with the shop's own in their place."""
    return Limits.of(LimitRow.objects.values_list("name", "low", "high"))
