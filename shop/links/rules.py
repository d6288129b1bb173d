"""Decisions about customer links, from values alone."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum

from circuits.errors import LoomwrightError

MOST_DAYS = 180
USUAL_DAYS = 30
TRIES_ALLOWED = 20
"""Wrong addresses that one visitor may try in a window, before the door stays shut until its end."""

WINDOW_S = 900


class LinkState(StrEnum):
    """Where a link stands."""

    OPEN = "open"
    EXPIRED = "expired"
    REVOKED = "revoked"


class ClosedError(LoomwrightError, ValueError):
    """An act on a link that is no longer open; says so in one sentence."""


def state_of(expires_at: datetime, revoked_at: datetime | None, now: datetime) -> LinkState:
    """Where a link stands; revoked counts before expired.

    Examples
    --------
    >>> from datetime import UTC
    >>> noon = datetime(2031, 5, 2, 12, tzinfo=UTC)
    >>> state_of(noon, None, noon), state_of(noon, None, noon.replace(hour=11))
    (<LinkState.EXPIRED: 'expired'>, <LinkState.OPEN: 'open'>)
    """
    if revoked_at is not None:
        return LinkState.REVOKED
    return LinkState.EXPIRED if now >= expires_at else LinkState.OPEN


def closed_words(state: LinkState, shop: str) -> str:
    """What the customer is told of a link that is not open, in one sentence.

    Examples
    --------
    >>> closed_words(LinkState.EXPIRED, "Sparrowgate")
    'This address has run out: ask Sparrowgate for a new one.'
    """
    what = "has been withdrawn" if state is LinkState.REVOKED else "has run out"
    return f"This address {what}: ask {shop or 'the shop'} for a new one."
