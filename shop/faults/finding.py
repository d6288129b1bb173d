"""A fault's search: its steps read back into answers, the finder of the job's plan, what the shop has learnt."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from threading import Lock
from typing import Any

from django.db import transaction
from django.db.models import Count

from circuits.diagnosis.diagnosis import Diagnosis
from circuits.diagnosis.exchange import question_dict, read_seen
from circuits.diagnosis.finder import Finder, FinderError
from circuits.diagnosis.seen import Question, Seen
from circuits.diagnosis.tables import Cause
from circuits.errors import LoomwrightError, UnreadableError
from circuits.network.elements import Load
from circuits.network.states import State
from circuits.planning.models import PlanRow
from circuits.planning.rules import rules_stamp
from circuits.planning.store import sized_plan
from shop.faults.models import OTHER_CAUSE, Fault, FinderStep
from shop.faults.services import FaultError
from shop.people.models import User

KEPT_FINDERS = 4
MOST_STEPS = 100
TOLD_GROUPS = 5

_finders: OrderedDict[tuple[str, str], Finder] = OrderedDict()
_lock = Lock()


@dataclass(frozen=True, slots=True)
class SearchState:
    """Where the search of a fault stands.

    Parameters
    ----------
    finder : Finder
    steps : tuple of FinderStep
        All of them, oldest first.
    unread : tuple of FinderStep
        Steps that the present plan does not know any more.
    changed_since : FinderStep or None
        The last step made with another plan than the present one.
    diagnosis : Diagnosis or None
        None before anything was seen.
    refused : str
        Why there is none although something was seen; else empty.
    """

    finder: Finder
    steps: tuple[FinderStep, ...]
    unread: tuple[FinderStep, ...]
    changed_since: FinderStep | None
    diagnosis: Diagnosis | None
    refused: str = ""


def finder_of(plan: PlanRow) -> Finder:
    """The finder of a plan as it stands; kept per process, so that a step after the first is quick."""
    key = (plan.stamp, rules_stamp())
    with _lock:
        kept = _finders.get(key)
    if kept is None:
        kept = Finder(sized_plan(plan))
        with _lock:
            _finders[key] = kept
            while len(_finders) > KEPT_FINDERS:
                _finders.popitem(last=False)
    return kept


def counted_causes() -> dict[Cause, int]:
    """The shop's own closed faults by the kind of cause that was found."""
    closed = Fault.objects.filter(closed_at__isnull=False).exclude(cause_kind__in=["", OTHER_CAUSE])
    rows = closed.values_list("cause_kind").annotate(count=Count("pk")).order_by()
    return {Cause(kind): count for kind, count in rows if kind in set(Cause)}


def search_state(fault: Fault) -> SearchState:
    """Where the search stands."""
    steps = tuple(fault.steps.select_related("by", "taken_back", "takes_back"))
    plan = PlanRow.objects.get(pk=fault.job.plan_id)
    finder = finder_of(plan)
    seen, unread = _read(finder, steps)
    others = [step for step in _standing(steps) if step.plan_stamp != plan.stamp]
    diagnosis, refused = None, ""
    if seen:
        try:
            diagnosis = diagnose(finder, seen)
        except LoomwrightError as error:
            refused = str(error)
    return SearchState(finder, steps, unread, others[-1] if others else None, diagnosis, refused)


def diagnose(finder: Finder, seen: Sequence[Seen]) -> Diagnosis:
    """Where a search stands; one at a time, since a finder fills its tables as it goes."""
    counted = counted_causes()
    with _lock:
        return finder.diagnose(seen, counted)


def _standing(steps: Sequence[FinderStep]) -> list[FinderStep]:
    """Steps that count: neither taken back nor taking back."""
    return [step for step in steps if step.takes_back_id is None and not hasattr(step, "taken_back")]


def _read(finder: Finder, steps: Sequence[FinderStep]) -> tuple[list[Seen], tuple[FinderStep, ...]]:
    seen: list[Seen] = []
    unread: list[FinderStep] = []
    for step in _standing(steps):
        try:
            seen += read_seen([step.entry], finder)
        except UnreadableError:
            unread.append(step)
    return seen, tuple(unread)


def words_of(finder: Finder, question: Question) -> str:
    """A question that nobody proposed, for people."""
    loads = {load.name: load for load in finder.whole.branches.network.loads}
    if question.at in loads:
        return f"Look at {loads[question.at].words}. Switches: {question.state}."
    return f"Fuse {question.at.removeprefix('fuse: ')}. Switches: {question.state}."


def states_by_use(finder: Finder, circuits: Sequence[str]) -> tuple[list[State], list[State]]:
    """States of the switches: those in which the named circuits are to work, and the others."""
    loads = [load for name in circuits for load in finder.loads_of(name)[:1]]
    own: list[State] = []
    others: list[State] = []
    for state in finder.states():
        is_own = any(finder.is_wanted(load, state.positions) for load in loads)
        (own if is_own else others).append(state)
    return own, others


def loads_by_use(finder: Finder, circuits: Sequence[str]) -> tuple[list[Load], list[Load]]:
    """Loads of the named circuits, and the others."""
    loads = finder.whole.branches.network.loads
    return [load for load in loads if load.circuit in circuits], [
        load for load in loads if load.circuit not in circuits
    ]


@transaction.atomic
def add_step(*, fault: Fault, entry: dict[str, Any], words: str, by: User, at: datetime, key: str) -> FinderStep:
    """Note what came out of a question, with what was proposed before and where it leaves the search.

    Parameters
    ----------
    fault : Fault
    entry : dict
        The question with its answer, as the finder reads it.
    words : str
        The question for people; empty = made from the entry.
    by, at, key
        As for a test.

    Raises
    ------
    UnreadableError
        An entry that the plan does not know.
    FaultError
        A closed fault, or a search of too many steps.
    """
    fault = Fault.objects.select_for_update(of=("self",)).select_related("job").get(pk=fault.pk)
    known = FinderStep.objects.filter(key=key).first()
    if known is not None:
        return known
    if fault.closed_at is not None:
        raise FaultError(f"Fault {fault.number} is closed. Open it again to go on searching.")
    before = search_state(fault)
    if len(before.steps) >= MOST_STEPS:
        raise FaultError(f"This search has {MOST_STEPS} steps already: take a fresh look at the plan.")
    (new,) = read_seen([entry], before.finder, name="answer")
    seen, _ = _read(before.finder, before.steps)
    after = diagnose(before.finder, [*seen, new])
    proposal = before.diagnosis.proposals[0] if before.diagnosis and before.diagnosis.proposals else None
    step = FinderStep(
        fault=fault,
        words=(words or words_of(before.finder, new.question))[:400],
        answer=entry["reading"].strip() if isinstance(new.answer, float) else new.answer,
        entry=entry,
        proposed=proposal and {"words": proposal.offer.words, "question": question_dict(proposal.offer.question)},
        standing=[
            {"share": round(group.share, 4), "suspects": list(group.words)} for group in after.groups[:TOLD_GROUPS]
        ],
        plan_stamp=PlanRow.objects.values_list("stamp", flat=True).get(pk=fault.job.plan_id),
        key=key,
        at=at,
        by=by,
    )
    step.full_clean()
    step.save()
    return step


@transaction.atomic
def take_back(*, step: FinderStep, by: User, at: datetime, key: str) -> FinderStep:
    """Let a step count no more; it stays in the history with who took it back."""
    Fault.objects.select_for_update().get(pk=step.fault_id)
    known = FinderStep.objects.filter(takes_back=step).first()
    if known is not None:
        return known
    if step.takes_back_id is not None:
        raise FaultError("What was taken back stays so: enter the answer anew.")
    taken = FinderStep(
        fault_id=step.fault_id, words=f"Taken back: {step.words}"[:400], answer=step.answer, entry={}, takes_back=step,
        plan_stamp=step.plan_stamp, key=key, at=at, by=by,
    )  # fmt: skip
    taken.full_clean(exclude=["entry"])
    taken.save()
    return taken


__all__ = ["FinderError", "SearchState", "add_step", "search_state", "take_back"]
