"""Which cavity each conductor of a circuit takes, out of those that a connector lists for the circuit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from circuits.fittings import Holds
from circuits.harness.connectors import Slot
from circuits.wiring import End, Lands, Role, Wire

_RELAY = {"30": Holds.T30, "85": Holds.T85, "86": Holds.T86, "87": Holds.T87}
_RELAY_IN_OTHER_WORDS = {"30": Holds.IN, "85": Holds.RETURN, "86": Holds.IN, "87": Holds.OUT}
_DEVICES = (Lands.LOAD, Lands.SWITCH, Lands.RELAY)
_SUPPLIES = (Lands.FUSE, Lands.SUPPLY)


@dataclass(slots=True)
class Seats:
    """Slots of one junction for one circuit, given out to conductors until none is left."""

    free: list[Slot]
    taken: dict[int, Slot] = field(default_factory=dict)

    def give(self, wishes: Iterable[tuple[int, Holds | None]]) -> None:
        """Give each conductor, by its number, a free slot of what it wishes; those that have one are left alone."""
        for number, wish in wishes:
            slot = next((slot for slot in self.free if slot.holds is wish), None)
            if slot is not None and number not in self.taken:
                self.taken[number] = slot
                self.free.remove(slot)


def seats_in_loom(passing: Sequence[Wire], slots: Sequence[Slot]) -> dict[int, Slot]:
    """Slots for the wires of one circuit that pass a pair in the loom, by their number in ``passing``.

    A wire to or from a relay takes the slot of its terminal where there is one, a return that of returns; the others
    take ``in`` and ``out`` in the order in which the current flows.

    Parameters
    ----------
    passing : sequence of Wire
        In the order in which they are drawn.
    slots : sequence of Slot

    Examples
    --------
    >>> seats_in_loom([], [Slot(Holds.IN, ("1",))])
    {}
    """
    seats = Seats(list(slots))
    numbered = list(enumerate(passing))
    seats.give((number, _exact_in_loom(wire)) for number, wire in numbered)
    onward = [number for number, wire in numbered if number not in seats.taken and not _is_return(wire)]
    seats.give(zip(onward, (Holds.IN, Holds.OUT), strict=False))
    if len(onward) != 2:  # more than two, as loads with a way each; or one, whose cavity was named the other way
        seats.give((number, holds) for holds in (Holds.OUT, Holds.IN) for number in onward)
    seats.give((number, Holds.RETURN) for number, wire in numbered if _is_return(wire))
    return seats.taken


def _exact_in_loom(wire: Wire) -> Holds | None:
    if wire.role is Role.RETURN:
        return Holds.RETURN
    return _RELAY.get(wire.start.terminal if wire.start.lands is Lands.RELAY else wire.end.terminal)


def _is_return(wire: Wire) -> bool:
    return wire.role is Role.RETURN or wire.start.terminal == "85"


@dataclass(frozen=True, slots=True)
class Landing:
    """One end of a wire, by the wire's index: where it may sit in a connector."""

    wire: int
    is_start: bool
    end: End
    role: Role


def landings(wires: Sequence[Wire]) -> list[Landing]:
    """Ends of wires that may sit in a connector of a device, as the current flows: no splices, no ground points."""
    ends = (
        Landing(index, is_start, end, wire.role)
        for index, wire in enumerate(wires)
        for is_start, end in ((True, wire.start), (False, wire.end))
    )
    return [landing for landing in ends if landing.end.lands in (*_DEVICES, *_SUPPLIES)]


def seats_on_device(landed: Sequence[Landing], slots: Sequence[Slot]) -> dict[int, Slot]:
    """Slots for the ends of one circuit that land at the place of a connector, by their number in ``landed``.

    Parameters
    ----------
    landed : sequence of Landing
    slots : sequence of Slot

    Examples
    --------
    >>> lamp = Landing(0, False, End("nose", Lands.LOAD, "lamp"), Role.LOAD)
    >>> seats_on_device([lamp], [Slot(Holds.IN, ("1",))])[0].labels
    ('1',)
    """
    seats = Seats(list(slots))
    held = {slot.holds for slot in slots}
    first = Lands.SWITCH if Holds.OUT in held else Lands.RELAY if held & set(_RELAY.values()) else Lands.LOAD
    ranked = sorted(enumerate(landed), key=lambda numbered: numbered[1].end.lands is not first)
    seats.give((number, _exact_on_device(landing)) for number, landing in ranked)
    seats.give((number, _on_supply(landing)) for number, landing in ranked)
    seats.give((number, _in_other_words(landing)) for number, landing in ranked)
    return seats.taken


def _exact_on_device(landing: Landing) -> Holds | None:
    match landing.end.lands:
        case Lands.RELAY:
            return _RELAY.get(landing.end.terminal)
        case Lands.SWITCH:
            return Holds.OUT if landing.is_start else Holds.IN
        case Lands.LOAD:
            return Holds.RETURN if landing.is_start else Holds.IN
        case _:
            return None


def _on_supply(landing: Landing) -> Holds | None:
    if landing.end.lands not in _SUPPLIES:
        return None
    return Holds.OUT if landing.is_start else Holds.IN


def _in_other_words(landing: Landing) -> Holds | None:
    """What else the cavity of an end may have been said to hold: that of a lamp ``out``, as it goes on to the load."""
    match landing.end.lands:
        case Lands.RELAY:
            return _RELAY_IN_OTHER_WORDS.get(landing.end.terminal)
        case Lands.LOAD if not landing.is_start:
            return Holds.OUT
        case Lands.FUSE | Lands.SUPPLY if landing.is_start:
            return Holds.IN
        case _:
            return None
