"""Answers and searches as JSON: what scripts hand in, what they get back, and how a step is kept.

A question handed out, with its answer filled in, is an entry that can be handed in again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from circuits.diagnosis.diagnosis import Diagnosis, Proposal
from circuits.diagnosis.finder import Finder
from circuits.diagnosis.seen import ANSWERS, UNITS, Act, Question, Seen, Setup
from circuits.diagnosis.suspects import Suspect
from circuits.diagnosis.tables import Cause
from circuits.errors import CellFault, QuantityError, UnreadableError
from circuits.network.elements import Part
from circuits.units import parse_reading

FIELDS = (
    "load", "does", "fuse", "is", "point", "to", "reading", "place", "found", "state", "switches", "unplugged",
    "pulled", "act", "unit", "answers",
)  # fmt: skip
"""Fields of an entry; the last three are told of a question and not read again."""

FUSE_ACTS = {"whole": Act.FUSE, "open": Act.FUSE, "holds": Act.REFIT, "opens": Act.REFIT}
READ_ACTS = {unit: act for act, unit in UNITS.items()}


def question_dict(question: Question) -> dict[str, Any]:
    """A question as JSON.

    Parameters
    ----------
    question : Question

    Examples
    --------
    >>> question_dict(Question(Act.FUSE, "fuse: horn", "", Setup.of({"horn": "on"}), "horn on"))
    {'act': 'fuse', 'fuse': 'horn', 'answers': ['whole', 'open'], 'state': 'horn on', 'switches': {'horn': 'on'}}
    """
    at, told = question.at, {"act": question.act.value}
    entry: dict[str, Any] = dict(told)
    if question.act is Act.LOOK:
        entry["load"] = at
    elif question.act in (Act.FUSE, Act.REFIT, Act.AMPS):
        entry["fuse"] = at.removeprefix("fuse: ")
    elif question.act is Act.INSPECT:
        entry["place"] = at
    else:
        entry |= {"point": at} | ({"to": question.other} if question.other else {})
    if question.act in UNITS:
        entry["unit"] = UNITS[question.act]
    else:
        entry["answers"] = list(ANSWERS[question.act])
    if question.act is not Act.INSPECT:
        entry |= {"state": question.state, "switches": dict(question.setup.positions)}
    pulled = [name.removeprefix("fuse: ") for name in question.setup.removed if name.startswith("fuse: ")]
    unplugged = [name for name in question.setup.removed if not name.startswith("fuse: ")]
    return entry | ({"pulled": pulled} if pulled else {}) | ({"unplugged": unplugged} if unplugged else {})


def seen_dict(seen: Seen) -> dict[str, Any]:
    """An answer with its question as JSON.

    Parameters
    ----------
    seen : Seen
    """
    entry, act = question_dict(seen.question), seen.question.act
    if isinstance(seen.answer, float):
        return entry | {"reading": f"{seen.answer:.6g} {UNITS[act]}"}
    field = {Act.LOOK: "does", Act.INSPECT: "found"}.get(act, "is")
    return entry | {field: seen.answer}


def read_seen(data: object, finder: Finder, *, name: str = "seen") -> tuple[Seen, ...]:
    """Answers from JSON.

    Parameters
    ----------
    data : object
        A list of entries, or an object with such a list under ``seen``.
    finder : Finder
        Of the plan whose loads, fuses, points and states they name.
    name : str
        What the messages call it.

    Raises
    ------
    UnreadableError
        Naming every entry, field and value that cannot be read.
    """
    entries = data.get("seen") if isinstance(data, Mapping) else data
    if not isinstance(entries, list) or not entries:
        raise UnreadableError([CellFault(name, 0, "seen", _short(entries), "a list with at least one entry")])
    reader, found = _Reader(finder, name), []
    faults: list[CellFault] = []
    for number, entry in enumerate(entries, 1):
        try:
            found.append(reader.read(number, entry))
        except UnreadableError as error:
            faults += error.faults
    if faults:
        raise UnreadableError(faults)
    return tuple(found)


def read_counted(data: object, *, name: str = "seen") -> dict[Cause, int]:
    """The shop's closed faults by cause, under ``closed_faults`` of the JSON; none where it has none.

    Parameters
    ----------
    data : object
    name : str

    Raises
    ------
    UnreadableError

    Examples
    --------
    >>> read_counted({"closed_faults": {"bad_ground": 3}})[Cause.BAD_GROUND]
    3
    """
    counted = data.get("closed_faults", {}) if isinstance(data, Mapping) else {}
    if not isinstance(counted, Mapping):
        raise UnreadableError([CellFault(name, 0, "closed_faults", _short(counted), "an object of kinds and counts")])
    found: dict[Cause, int] = {}
    for cause, count in counted.items():
        if cause not in set(Cause):
            raise UnreadableError([CellFault(name, 0, "closed_faults", _short(cause), f"one of {', '.join(Cause)}")])
        if not isinstance(count, int) or isinstance(count, bool) or count < 0:
            raise UnreadableError(
                [CellFault(name, 0, f"closed_faults, {cause}", _short(count), "a count of 0 or more")]
            )
        found[Cause(cause)] = count
    return found


class _Reader:
    """Reads entries about one plan."""

    def __init__(self, finder: Finder, name: str) -> None:
        network = finder.whole.branches.network
        self.name = name
        self.loads = {load.name: load.circuit for load in network.loads}
        self.fuses = {one.name.removeprefix("fuse: "): one.name for one in network.elements if one.part is Part.FUSE}
        self.points = set(finder.whole.branches.node)
        self.branch = {load.name: load.branch for load in network.loads}
        self.states = {state.name: dict(state.positions) for state in finder.states()}

    def read(self, row: int, entry: object) -> Seen:
        """One entry."""
        if not isinstance(entry, Mapping):
            raise self._fault(row, "", entry, "an object")
        for field in entry:
            if field not in FIELDS:
                raise self._fault(row, "", field, f"one of {', '.join(FIELDS)}")
        act, at, answer = self._what(row, entry)
        other = entry.get("to", "")
        if not isinstance(other, str) or (other and other not in self.points):
            raise self._fault(row, "to", other, "a point of the plan's network")
        positions, state = ({}, "") if act is Act.INSPECT else self._positions(row, entry)
        return Seen(Question(act, at, other, Setup.of(positions, self._removed(row, entry)), state), answer)

    def _what(self, row: int, entry: Mapping[str, Any]) -> tuple[Act, str, str | float]:
        if "load" in entry:
            return Act.LOOK, self._load(row, "load", entry["load"]), self._word(row, entry, "does", ANSWERS[Act.LOOK])
        if "fuse" in entry:
            at = self._fuse(row, "fuse", entry["fuse"])
            if "reading" in entry:
                return Act.AMPS, at, self._figure(row, entry, ("A",))[0]
            word = self._word(row, entry, "is", tuple(FUSE_ACTS))
            return FUSE_ACTS[word], at, word
        if "point" in entry:
            if not isinstance(entry["point"], str) or entry["point"] not in self.points:
                raise self._fault(row, "point", entry["point"], "a point of the plan's network, as a question names it")
            figure, unit = self._figure(row, entry, ("V", "ohm"))
            return READ_ACTS[unit], entry["point"], figure
        if isinstance(entry.get("place"), str):
            return Act.INSPECT, entry["place"], self._word(row, entry, "found", ANSWERS[Act.INSPECT])
        raise self._fault(row, "", "no load, fuse, point or place", "one of them")

    def _load(self, row: int, field: str, value: object) -> str:
        """A load by its name, or by that of its circuit where this has no other."""
        if isinstance(value, str) and value in self.loads:
            return value
        own = [load for load, circuit in self.loads.items() if circuit == value]
        if len(own) == 1:
            return own[0]
        expected = f"one of {'; '.join(own)}" if own else "a load of the plan, or a circuit that has one load"
        raise self._fault(row, field, value, expected)

    def _fuse(self, row: int, field: str, value: object) -> str:
        if isinstance(value, str) and value.removeprefix("fuse: ") in self.fuses:
            return self.fuses[value.removeprefix("fuse: ")]
        raise self._fault(row, field, value, "a fuse of the plan, by the name of its circuit")

    def _word(self, row: int, entry: Mapping[str, Any], field: str, words: Sequence[str]) -> str:
        if entry.get(field) in words:
            return str(entry[field])
        raise self._fault(row, field, entry.get(field, ""), f"one of {', '.join(words)}")

    def _figure(self, row: int, entry: Mapping[str, Any], units: Sequence[str]) -> tuple[float, str]:
        expected = f"a reading in {' or '.join(units)} with its unit, such as 11.9 {units[0]}"
        try:
            figure, unit = parse_reading(str(entry.get("reading", "")))
        except QuantityError:
            raise self._fault(row, "reading", entry.get("reading", ""), expected) from None
        if unit not in units:
            raise self._fault(row, "reading", entry["reading"], expected)
        return figure, unit

    def _positions(self, row: int, entry: Mapping[str, Any]) -> tuple[dict[str, str], str]:
        switches, state = entry.get("switches"), entry.get("state", "")
        if isinstance(switches, Mapping):
            if not all(isinstance(one, str) for pair in switches.items() for one in pair):
                raise self._fault(row, "switches", switches, "an object of functions and positions")
            words = ", ".join(f"{function} {position}" for function, position in switches.items())
            return dict(switches), str(state) or words or "all off"
        if isinstance(state, str) and state in self.states:
            return self.states[state], state
        known = "; ".join(list(self.states)[:8])
        raise self._fault(row, "state", state, f"a state of the plan's switches ({known} …), or switches")

    def _removed(self, row: int, entry: Mapping[str, Any]) -> tuple[str, ...]:
        found = []
        for field, read in (("unplugged", self._load), ("pulled", self._fuse)):
            names = entry.get(field, [])
            if not isinstance(names, list):
                raise self._fault(row, field, names, "a list of names")
            for value in names:
                name = read(row, field, value)
                found.append(self.branch.get(name, name))
        return tuple(found)

    def _fault(self, row: int, field: str, value: object, expected: str) -> UnreadableError:
        where = f"{self.name}, entry {row}"
        return UnreadableError([CellFault(where, 0, field, _short(value), expected)])


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= 60 else text[:59] + "…"


def _suspect_dict(suspect: Suspect) -> dict[str, str]:
    return {"cause": suspect.cause.value, "at": suspect.at, "circuit": suspect.circuit, "words": suspect.words}


def proposal_dict(proposal: Proposal) -> dict[str, Any]:
    """A question worth asking as JSON.

    Parameters
    ----------
    proposal : Proposal
    """
    told: dict[str, Any] = {
        "words": proposal.offer.words,
        "minutes": proposal.offer.minutes,
        "bits": round(proposal.bits, 4),
        "question": question_dict(proposal.offer.question),
        "outcomes": [
            {
                "answer": one.answer,
                "chance": round(one.chance, 4),
                "leaves": [{"suspect": words, "share": round(share, 4)} for words, share in one.leaves],
            }
            for one in proposal.outcomes
        ],
    }
    return told if proposal.expected is None else told | {"expected": float(f"{proposal.expected:.4g}")}


def diagnosis_dict(diagnosis: Diagnosis) -> dict[str, Any]:
    """Where a search stands as JSON.

    Parameters
    ----------
    diagnosis : Diagnosis
    """
    return {
        "found": diagnosis.is_isolated,
        "two_faults": diagnosis.has_pairs,
        "groups": [
            {
                "share": round(group.share, 4),
                "suspects": [[_suspect_dict(one) for one in together] for together in group.suspects],
                "against": [seen_dict(one) for one in group.against],
            }
            for group in diagnosis.groups
        ],
        "next": [proposal_dict(one) for one in diagnosis.proposals],
        "set_aside": [seen_dict(one) for one in diagnosis.aside],
    }
