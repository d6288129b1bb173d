"""Where a revision of a quote can stand."""

from __future__ import annotations

from enum import StrEnum


class State(StrEnum):
    """State of a revision. Whether a sent one has expired is a matter of the date, not a state."""

    DRAFT = "draft"
    SENT = "sent"
    ACCEPTED = "accepted"
    SUPERSEDED = "superseded"
    DECLINED = "declined"

    @property
    def words(self) -> str:
        """The state as people say it.

        Examples
        --------
        >>> State.SENT.words
        'with the customer'
        """
        return _WORDS[self]


_WORDS = {
    State.DRAFT: "draft",
    State.SENT: "with the customer",
    State.ACCEPTED: "accepted",
    State.SUPERSEDED: "replaced by a later revision",
    State.DECLINED: "declined",
}
