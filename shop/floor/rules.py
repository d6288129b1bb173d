"""What a package waits for, in words. Pure decisions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Stand(StrEnum):
    """How a package stands."""

    DONE = "done"
    IN_HAND = "in hand"
    READY = "ready to start"
    WAITS = "waits"


@dataclass(frozen=True, slots=True)
class Waiting:
    """Why a package cannot go on: ``cause`` is parts, approval, fault, order or other; ``words`` say it."""

    cause: str
    words: str


def waiting_for(
    *,
    after: Iterable[tuple[str, bool]],
    holds: Iterable[tuple[str, str]],
    faults: Iterable[tuple[str, Iterable[str]]],
    circuits: Iterable[str],
    is_approved: bool,
    unaccepted: Iterable[str] = (),
) -> tuple[Waiting, ...]:
    """Everything a package waits for.

    Parameters
    ----------
    after : iterable of tuple of str and bool
        Packages that come before it, and whether each is done.
    holds : iterable of tuple of str and str
        Cause and words of each hold not lifted.
    faults : iterable of tuple of str and iterable of str
        Open faults that stop or endanger, each with its circuits.
    circuits : iterable of str
        Of the package.
    is_approved : bool
        False while the customer has not accepted.
    unaccepted : iterable of str
        Circuits that the plan has changed since, and the customer has not accepted.

    Examples
    --------
    >>> found = waiting_for(after=[("pull: rear", False)], holds=[], faults=[], circuits=["horn"], is_approved=True)
    >>> [waiting.words for waiting in found]
    ['after pull: rear']
    """
    mine = set(circuits)
    found = [] if is_approved else [Waiting("approval", "the customer has not accepted")]
    if changed := [name for name in unaccepted if name in mine]:
        found.append(Waiting("approval", f"the customer has not accepted the change to {some_of(changed)}"))
    found += [Waiting(cause, words) for cause, words in holds]
    found += [Waiting("fault", words) for words, names in faults if mine & set(names)]
    found += [Waiting("order", f"after {name}") for name, is_done in after if not is_done]
    return tuple(found)


MOST_NAMED = 2


def some_of(names: Iterable[str]) -> str:
    """The first few names, and how many more there are.

    Examples
    --------
    >>> some_of(["horn", "fan"]), some_of(["horn", "fan", "pump", "clock"])
    ('horn, fan', 'horn, fan and 2 more')
    """
    every = list(dict.fromkeys(names))
    more = len(every) - MOST_NAMED
    return ", ".join(every[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def parts_in_words(missing: Iterable[tuple[str, date | None]]) -> str:
    """Which parts are waited for, and until when; empty where none are.

    Parameters
    ----------
    missing : iterable of tuple of str and date or None
        Kind of each, and the day on which it comes; None = it has not been ordered.

    Examples
    --------
    >>> parts_in_words([("relay", date(2031, 5, 7)), ("fuse", date(2031, 5, 9))])
    'waiting for 2 kinds of parts, here on 9 May'
    >>> parts_in_words([("relay", date(2031, 5, 7)), ("fuse", None)])
    'waiting for parts: fuse, not ordered'
    """
    rows = list(missing)
    if not rows:
        return ""
    unordered = {what for what, comes_on in rows if comes_on is None}
    kinds = unordered or {what for what, _ in rows}
    what = f"waiting for {len(kinds)} kinds of parts" if len(kinds) > 1 else f"waiting for parts: {min(kinds)}"
    if unordered:
        return f"{what}, not ordered"
    last = max(comes_on for _, comes_on in rows if comes_on is not None)
    return f"{what}, here on {last.day} {last:%b}"


def stand_of(*, is_done: bool, is_begun: bool, waiting: tuple[Waiting, ...]) -> Stand:
    """How a package stands; work in hand stays in hand, whatever it waits for.

    Examples
    --------
    >>> stand_of(is_done=False, is_begun=False, waiting=()).value
    'ready to start'
    """
    if is_done:
        return Stand.DONE
    if is_begun:
        return Stand.IN_HAND
    return Stand.WAITS if waiting else Stand.READY


def hours_and_minutes(minutes: float) -> str:
    """Time as people say it.

    Examples
    --------
    >>> hours_and_minutes(95), hours_and_minutes(0), hours_and_minutes(600)
    ('1 h 35', '0 h 00', '10 h 00')
    """
    whole = max(0, round(minutes))
    return f"{whole // 60} h {whole % 60:02d}"


def done_in_words(done: int, of: int, what: Mapping[bool, str] | None = None) -> str:
    """Progress in words, never a percentage.

    Examples
    --------
    >>> done_in_words(3, 11)
    '3 of 11 circuits'
    """
    words = what or {True: "circuit", False: "circuits"}
    return f"{done} of {of} {words[of == 1]}"
