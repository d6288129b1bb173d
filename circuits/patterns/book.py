"""The devices that wires land on, collected over the whole plan: shared ones are entered once."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field

from circuits.wiring import Device, End, Lands


@dataclass(slots=True)
class _Entry:
    name: str
    lands: Lands
    place: str
    by_state: dict[tuple[str, str], float] = field(default_factory=dict)

    def current_a(self) -> float:
        """Greatest current over the states of the device; circuits without a state count in each."""
        always = sum(current for (_, state), current in self.by_state.items() if not state)
        states = {state for _, state in self.by_state if state}
        by_state = [sum(c for (_, found), c in self.by_state.items() if found == state) for state in sorted(states)]
        return always + max(by_state, default=0.0)


class DeviceBook:
    """Gives each device one name, unique in the plan, and keeps who uses it with what current."""

    def __init__(self) -> None:
        self._entries: dict[Hashable, _Entry] = {}
        self._by_name: dict[str, _Entry] = {}

    def end(self, lands: Lands, place: str, label: str, *, key: Hashable = None, terminal: str = "") -> End:
        """A wire end on the device called ``label``; the same ``key`` (else label and place) is the same device."""
        identity = (lands, place, label if key is None else key)
        entry = self._entries.get(identity)
        if entry is None:
            entry = self._entries[identity] = _Entry(self._unused(label), lands, place)
            self._by_name[entry.name] = entry
        return End(place, lands, entry.name, terminal)

    def use(self, end: End, circuit: str, current_a: float, states: tuple[str, ...] = ("",)) -> None:
        """Enter that ``circuit`` puts ``current_a`` [A] through the device of ``end``, in the given switch states."""
        entry = self._by_name[end.device]
        for state in states:
            entry.by_state[circuit, state] = entry.by_state.get((circuit, state), 0.0) + current_a

    def _unused(self, label: str) -> str:
        name, number = label, 1
        while name in self._by_name:
            number += 1
            name = f"{label} ({number})"
        return name

    def devices(self) -> tuple[Device, ...]:
        """All devices, in the order they were first used."""
        return tuple(
            Device(e.name, e.lands, e.place, tuple(dict.fromkeys(c for c, _ in e.by_state)), e.current_a())
            for e in self._entries.values()
        )
