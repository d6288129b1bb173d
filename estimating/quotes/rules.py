"""Decisions about quotes, taken from values alone: may this be sent, may that be accepted, until when does it hold?"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from circuits.errors import LoomwrightError
from circuits.findings import Finding, Severity
from estimating.quotes.states import State


class RefusedError(LoomwrightError, ValueError):
    """An act that the rules of quoting do not allow. Carries every reason, each a sentence for people."""

    def __init__(self, *reasons: str) -> None:
        self.reasons = reasons
        super().__init__(" ".join(reasons))


def last_valid_day(sent_on: date, validity_days: int) -> date:
    """The last day on which a quote sent on ``sent_on`` can be accepted.

    Parameters
    ----------
    sent_on : datetime.date
        In the shop's time zone.
    validity_days : int
        Days, 1 or more; a quote valid for 1 day can be accepted until the end of the day after it was sent.

    Examples
    --------
    >>> last_valid_day(date(2026, 2, 14), 30)
    datetime.date(2026, 3, 16)
    """
    return sent_on + timedelta(days=validity_days)


def has_expired(state: str, valid_until: date | None, today: date) -> bool:
    """True where the customer's time to accept has run out.

    Examples
    --------
    >>> last = date(2026, 3, 16)
    >>> has_expired("sent", last, last), has_expired("sent", last, date(2026, 3, 17))
    (False, True)
    """
    return state == State.SENT and valid_until is not None and today > valid_until


def accepted_already(number: int) -> str:
    """Why nothing more can be sent on a quote.

    Examples
    --------
    >>> accepted_already(2)
    'Revision 2 has been accepted: further work is a change, quoted on its own.'
    """
    return f"Revision {number} has been accepted: further work is a change, quoted on its own."


def reasons_not_to_send(
    *,
    addressee: str,
    circuits: int,
    findings: Sequence[Finding],
    unpriced: Sequence[str],
    accepted_number: int | None,
) -> tuple[str, ...]:
    """Why today's work-up cannot go to the customer; empty where it can.

    Parameters
    ----------
    addressee : str
        Name and address as printed.
    circuits : int
        Number of circuits in the plan.
    findings : sequence of Finding
        Of the sized plan; those of severity error stand in the way, each named.
    unpriced : sequence of str
        Parts without a price.
    accepted_number : int or None
        Number of the revision the customer has accepted.

    Examples
    --------
    >>> reasons_not_to_send(addressee="R. Oduya", circuits=0, findings=(), unpriced=(), accepted_number=None)
    ('The plan has no circuits yet.',)
    """
    reasons = []
    if accepted_number is not None:
        reasons.append(accepted_already(accepted_number))
    if not addressee.strip():
        reasons.append("The quote has no addressee: give the customer's name.")
    if circuits == 0:
        reasons.append("The plan has no circuits yet.")
    reasons += [_in_words(finding) for finding in findings if finding.severity is Severity.ERROR]
    reasons += [f"{part} has no price: add it to the price book." for part in unpriced]
    return tuple(reasons)


def _in_words(finding: Finding) -> str:
    """A finding as sentences; its message may or may not name the circuit itself."""
    name = finding.circuit
    message = finding.message if not name or name in finding.message else f"{name}: {finding.message}"
    return " ".join(f"{text.rstrip('.')}." for text in (message, finding.cure) if text)


def reasons_not_to_accept(*, state: str, valid_until: date | None, today: date, name: str) -> tuple[str, ...]:
    """Why a revision cannot be accepted; empty where it can.

    Parameters
    ----------
    state : str
        A ``State``.
    valid_until : datetime.date or None
        Last day of validity, None for a draft.
    today : datetime.date
        In the shop's time zone.
    name : str
        Name of the customer who accepts.

    Examples
    --------
    >>> reasons_not_to_accept(state="superseded", valid_until=None, today=date(2026, 3, 1), name="R. Oduya")
    ('A later revision has replaced this one.',)
    """
    reasons = list(_reasons_of_state(State(state), "accepted"))
    if valid_until is not None and has_expired(state, valid_until, today):
        reasons.append(f"It was valid until {valid_until:%d %b %Y}: send a new revision.")
    if not name.strip():
        reasons.append("The name of the person who accepts is missing.")
    return tuple(reasons)


def reasons_not_to_decline(*, state: str) -> tuple[str, ...]:
    """Why a revision cannot be marked as declined; empty where it can.

    Examples
    --------
    >>> reasons_not_to_decline(state="sent")
    ()
    """
    return _reasons_of_state(State(state), "declined")


def _reasons_of_state(state: State, done: str) -> tuple[str, ...]:
    """Only a revision that is with the customer can be answered."""
    match state:
        case State.SENT:
            return ()
        case State.DRAFT:
            return (f"It has not been sent: only a sent revision can be {done}.",)
        case State.ACCEPTED:
            return ("It has been accepted already.",)
        case State.SUPERSEDED:
            return ("A later revision has replaced this one.",)
        case State.DECLINED:
            return ("The customer has declined it: send a new revision.",)
