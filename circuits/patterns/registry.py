"""The register of patterns: for each stage, in order of trial. To add one, write its module and enter it here."""

from __future__ import annotations

from circuits.patterns.direct import DIRECT
from circuits.patterns.draft import Draft
from circuits.patterns.feeder import FEEDER, FEEDER_RETURN
from circuits.patterns.pattern import Pattern
from circuits.patterns.protected import FUSE_OF_FEED, OWN_FUSE
from circuits.patterns.relayed import RELAYED
from circuits.patterns.returns import CHASSIS_RETURN, WIRED_RETURN
from circuits.patterns.sender import SENDER_RETURN
from circuits.patterns.spread import SPREAD
from circuits.patterns.switched import SWITCHED

STAGES: tuple[tuple[Pattern, ...], ...] = (
    (OWN_FUSE, FUSE_OF_FEED),
    (RELAYED, SWITCHED, DIRECT),
    (FEEDER, SPREAD),
    (FEEDER_RETURN, SENDER_RETURN, WIRED_RETURN, CHASSIS_RETURN),
)
"""Protection, supply, spread, return. Of each stage the first pattern that applies is drawn."""


def draw(draft: Draft) -> tuple[str, ...]:
    """Draw all stages of one circuit, and answer the names of the patterns used."""
    used = []
    for stage in STAGES:
        pattern = next(pattern for pattern in stage if pattern.applies(draft))
        pattern.draw(draft)
        used.append(pattern.name)
    return tuple(used)
