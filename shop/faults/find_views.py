"""The search page of a fault: what is seen, suspects, the next test; made for a thumb at the vehicle."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from circuits.diagnosis.diagnosis import Outcome, Proposal
from circuits.diagnosis.exchange import question_dict
from circuits.diagnosis.seen import ANSWERS, UNITS, Act
from circuits.errors import CellFault, LoomwrightError, UnreadableError
from circuits.figures import format_current, format_voltage
from circuits.paper.title_block import TitleBlock
from shop.faults.finding import SearchState, add_step, loads_by_use, search_state, states_by_use, take_back
from shop.faults.models import Fault, FinderStep
from shop.faults.views import edit_faults, fault_or_404, view_faults
from shop.floor.queued import done, new_key, refused, sent
from shop.floor.views import staff

FORMATS = {Act.VOLTS: format_voltage, Act.AMPS: format_current}
MOST_ENTRY = 4000


@dataclass(frozen=True, slots=True)
class Offered:
    """A test as the page shows it: its answers are buttons, or one field with a unit."""

    words: str
    minutes: float
    question: str
    answers: tuple[str, ...]
    unit: str
    expected: str
    outcomes: tuple[Outcome, ...]


def offered(proposal: Proposal) -> Offered:
    """A proposal for the page."""
    question = proposal.offer.question
    write = FORMATS.get(question.act)
    expected = write(proposal.expected) if write is not None and proposal.expected is not None else ""
    return Offered(
        proposal.offer.words,
        proposal.offer.minutes,
        json.dumps(question_dict(question), ensure_ascii=False),
        ANSWERS.get(question.act, ()),
        UNITS.get(question.act, ""),
        expected,
        proposal.outcomes,
    )


def _context(row: Fault, state: SearchState) -> dict[str, Any]:
    states, other_states = states_by_use(state.finder, row.circuits)
    loads, other_loads = loads_by_use(state.finder, row.circuits)
    tests = [offered(one) for one in state.diagnosis.proposals] if state.diagnosis else []
    last = next((step.entry.get("state") for step in reversed(state.steps) if step.entry.get("state")), "")
    return {
        "job": row.job,
        "fault": row,
        "state": state,
        "states": states,
        "other_states": other_states,
        "last_state": last or (states[-1].name if states else ""),
        "loads": [(load.name, load.words) for load in loads],
        "other_loads": [(load.name, load.words) for load in other_loads],
        "does": ANSWERS[Act.LOOK],
        "next": tests[:1],
        "others": tests[1:],
        "key": new_key(),
        "sheet": TitleBlock(f"Search, fault {row.number}", str(row.job.vehicle), row.job.number),
    }


@view_faults
def find(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Where the search stands, and what to do next."""
    row = fault_or_404(job_id, fault_id)
    return render(request, "shop/faults/find.html", _context(row, search_state(row)))


@edit_faults
@require_POST
def answer(request: HttpRequest, job_id: int, fault_id: int) -> HttpResponse:
    """Note what came out of a test, or what is seen."""
    row, to = fault_or_404(job_id, fault_id), reverse("faults:find", args=[job_id, fault_id])
    try:
        made = sent(request)
        entry, words = _entry(request)
        add_step(fault=row, entry=entry, words=words, by=staff(request), at=made.at, key=made.key)
    except (LoomwrightError, ValidationError) as error:
        said = "; ".join(error.messages) if isinstance(error, ValidationError) else str(error)
        return refused(request, said, to)
    return done(request, "Noted.", to)


def _entry(request: HttpRequest) -> tuple[dict[str, Any], str]:
    """The entry that a form sends, and the words of its question."""
    posted = request.POST
    if "question" not in posted:
        named = {name: posted.get(name, "")[:300] for name in ("load", "state", "does")}
        return named, ""
    try:
        entry = json.loads(posted["question"][:MOST_ENTRY])
    except (ValueError, RecursionError):
        entry = None
    if not isinstance(entry, dict):
        found = CellFault("answer", 0, "question", posted["question"][:40], "a test of this page")
        raise UnreadableError([found])
    field = {"look": "does", "inspect": "found", "fuse": "is", "refit": "is"}.get(str(entry.get("act")), "reading")
    typed = posted.get("answer", "").strip()[:60]
    is_bare = field == "reading" and typed.replace(",", ".").replace(".", "", 1).lstrip("-").isdecimal()
    answered = f"{typed.replace(',', '.')} {entry.get('unit', '')}" if is_bare else typed
    return entry | {field: answered}, posted.get("words", "")


@edit_faults
@require_POST
def take_step_back(request: HttpRequest, job_id: int, fault_id: int, step_id: int) -> HttpResponse:
    """Let a wrong answer count no more."""
    row, to = fault_or_404(job_id, fault_id), reverse("faults:find", args=[job_id, fault_id])
    step = get_object_or_404(FinderStep, pk=step_id, fault=row)
    try:
        take_back(step=step, by=staff(request), at=timezone.now(), key=new_key())
    except LoomwrightError as error:
        return refused(request, str(error), to)
    return done(request, "Taken back.", to)
