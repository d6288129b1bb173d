"""Parts as the take-off counts them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from circuits.errors import PlanError


class PartKind(StrEnum):
    """Kinds of part; together with ``spec`` the key of the price book."""

    WIRE = "wire"
    FUSE = "fuse"
    FUSE_HOLDER = "fuse holder"
    PANEL_POSITION = "panel position"
    RELAY = "relay"
    RELAY_SOCKET = "relay socket"
    TERMINAL = "terminal"
    CONNECTOR = "connector"
    CAVITY_PLUG = "cavity plug"
    SPLICE = "splice"
    HEAT_SHRINK = "heat-shrink"
    GROMMET = "grommet"
    COVERING = "covering"
    CLIP = "clip"
    TAPE = "tape"
    LABEL = "label"
    END_CAP = "end cap"
    REPAIR_LENGTH = "repair length"  # wire let into a lead that stays; kept apart from what is cut and pulled new


class Unit(StrEnum):
    """Units parts are counted in."""

    PIECE = "piece"
    METRE = "m"


@dataclass(frozen=True, slots=True)
class Part:
    """One line of the take-off.

    Parameters
    ----------
    kind : PartKind
    spec : str
        What a buyer needs to know: ``14 AWG RD/BK``, ``blade 15 A``, ``ring M6, 8 AWG``.
    quantity : float
        Exact, before packs and rolls.
    unit : Unit
    circuits : tuple of str
        Circuits that caused it, in plan order; empty where the whole loom did.
    """

    kind: PartKind
    spec: str
    quantity: float
    unit: Unit
    circuits: tuple[str, ...]

    def __post_init__(self) -> None:
        if not (math.isfinite(self.quantity) and self.quantity > 0):
            raise PlanError(f"{self.kind} {self.spec}: quantity must be above 0, got {self.quantity}")
