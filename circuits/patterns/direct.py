"""Supply stage, direct feed: the load current leaves for the loads straight from the fuse."""

from __future__ import annotations

from circuits.patterns.draft import Draft
from circuits.patterns.pattern import Pattern, always
from circuits.wiring import Role


def _draw(draft: Draft) -> None:
    draft.trunk_role = Role.LOAD


DIRECT = Pattern("direct feed", always, _draw)
