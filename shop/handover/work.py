"""What stands at the vehicle, gathered from the apps that know: quote, changes, checks, faults. The one door there."""

from __future__ import annotations

from estimating.quotes.models import QuoteRevision
from estimating.quotes.states import State
from shop.billing.agreement import unaccepted_circuits
from shop.faults.models import Fault, Weight
from shop.handover.content import FaultLine, Outcome, OverrideLine, ProofLine
from shop.handover.rules import WorkState
from shop.jobs.models import Job
from shop.proof.judging import Verdict, limits_in_words
from shop.proof.models import BatteryAct, CheckRow
from shop.proof.selectors import CHANGED, proof_state

_OUTCOMES = {Verdict.PASSED: Outcome.PASSED, Verdict.FAILED: Outcome.FAILED}


def work_state(job: Job) -> WorkState:
    """The state of a job's work, in a fixed number of queries; ``job.plan`` is read."""
    accepted = accepted_revision(job)
    proof = proof_state(job)
    faults = Fault.objects.open().filter(job=job).order_by("number")
    return WorkState(
        accepted_revision=accepted.number if accepted else None,
        unaccepted=unaccepted_circuits(job) if accepted else (),
        is_sheet_stale=CHANGED in proof.missing,
        proof=tuple(_proof_line(row) for row in proof.checks),
        faults=tuple(_fault_line(fault) for fault in faults),
        overrides=tuple(_override_line(act) for act in proof.overrides),
    )


def accepted_revision(job: Job) -> QuoteRevision | None:
    """The revision that the customer accepted, if any. One query."""
    revisions = QuoteRevision.objects.without_content().select_related("quote")
    return revisions.filter(quote=job.quote_id, state=State.ACCEPTED).first()


def _proof_line(row: CheckRow) -> ProofLine:
    """A check with its last reading; one that is to be read again counts as missing, and says so."""
    limit = limits_in_words(row.low, row.high, row.unit)
    outcome = _OUTCOMES.get(row.verdict, Outcome.MISSING)
    what = row.what if row.verdict is not Verdict.AGAIN else f"{row.what} ({Verdict.AGAIN})"
    reading = row.latest
    if reading is None:
        return ProofLine(row.group, what, limit, "", outcome)
    read = " ".join(filter(None, [reading.typed or "by eye", f"({reading.remark})" if reading.remark else ""]))
    return ProofLine(row.group, what, limit, read, outcome, str(reading.by), reading.at, reading.meter)


def _fault_line(fault: Fault) -> FaultLine:
    return FaultLine(
        number=fault.number,
        does=fault.does,
        should=fault.should,
        switches=fault.switches,
        circuits=tuple(fault.circuits),
        weight=fault.get_weight_display(),
        endangers=fault.weight == Weight.DANGER,
        advice=fault.advice,
    )


def _override_line(act: BatteryAct) -> OverrideLine:
    missing = "; ".join(act.missing)
    what = f"Battery connected although this was missing: {missing}" if missing else "Battery connected"
    return OverrideLine(what, act.reason, str(act.by), act.at)
