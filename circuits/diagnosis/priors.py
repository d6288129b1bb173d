"""How likely each kind of cause is before anything is seen: the table's shares, moved by a shop's own closed faults."""

from __future__ import annotations

from collections.abc import Mapping

from circuits.diagnosis.tables import Cause, kinds

TABLE_WEIGHT = 20.0
"""Closed faults that the table counts for (our own choice): after as many of a shop's own both weigh the same."""


def prior_shares(counted: Mapping[Cause, int] | None = None) -> dict[Cause, float]:
    """Share of each kind: mean of a Dirichlet distribution whose counts are the table's shares and what was counted.

    Parameters
    ----------
    counted : mapping of Cause to int, optional
        Closed faults of the shop by the cause that was found.

    Examples
    --------
    >>> round(prior_shares()[Cause.BAD_GROUND], 3), round(prior_shares({Cause.BAD_GROUND: 20})[Cause.BAD_GROUND], 3)
    (0.21, 0.605)
    """
    counted = counted or {}
    total = TABLE_WEIGHT + sum(counted.values())
    return {cause: (TABLE_WEIGHT * kind.share + counted.get(cause, 0)) / total for cause, kind in kinds().items()}
