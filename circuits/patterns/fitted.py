"""Last stage of a draft: its wires are cut at the pairs they pass in the loom, and their ends take cavities.

Nothing is done to a circuit that no cavity of the plan lists.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from circuits.harness.connectors import Fittings, Junction, Slot, passed_places
from circuits.patterns.draft import Draft
from circuits.patterns.seating import landings, seats_in_loom, seats_on_device
from circuits.wiring import End, Lands, Path, Wire


@dataclass(slots=True)
class _Sides:
    """Which runs reach a pair from the side of its first half: those that the current first came by."""

    of_run: dict[int, bool] = field(default_factory=dict)

    def from_first(self, before: int | None, after: int | None) -> bool:
        """True where a wire that comes by run ``before`` and goes on by ``after`` meets the first half first."""
        answer = True
        if before is not None and before in self.of_run:
            answer = self.of_run[before]
        elif after is not None and after in self.of_run:
            answer = not self.of_run[after]
        if before is not None:
            self.of_run.setdefault(before, answer)
        if after is not None:
            self.of_run.setdefault(after, not answer)
        return answer


@dataclass(frozen=True, slots=True)
class _Cut:
    """One wire cut at one place of its path."""

    at: int
    junction: Junction
    slot: Slot


class Fitter:
    """Fits the circuits of one plan, in plan order, into its connectors.

    Parameters
    ----------
    fittings : Fittings
    """

    def __init__(self, fittings: Fittings) -> None:
        self._fittings = fittings
        self._sides: dict[str, _Sides] = {}

    def fit(self, draft: Draft) -> None:
        """Cut the wires of a draft that has been drawn, number them anew, and give their ends cavities."""
        if not self._fittings:
            return
        cuts = self._cuts(draft)
        if cuts:
            self._apply(draft, cuts)
        self._seat(draft)

    def _cuts(self, draft: Draft) -> dict[int, list[_Cut]]:
        passing: dict[Junction, list[tuple[int, int]]] = {}
        for index, wire in enumerate(draft.wires):
            for at in passed_places(wire):
                for junction in self._fittings.in_loom(wire.path.places[at], wire.circuit):
                    passing.setdefault(junction, []).append((index, at))
        cuts: dict[int, list[_Cut]] = {}
        for junction, here in passing.items():
            here = [(index, at) for index, at in here if at not in {cut.at for cut in cuts.get(index, ())}]
            slots = self._fittings.slots(junction, draft.circuit.name)
            for number, slot in seats_in_loom([draft.wires[index] for index, _ in here], slots).items():
                index, at = here[number]
                cuts.setdefault(index, []).append(_Cut(at, junction, slot))
        return cuts

    def _apply(self, draft: Draft, cuts: dict[int, list[_Cut]]) -> None:
        pieces: dict[str, list[Wire]] = {}
        for index, wire in enumerate(draft.wires):
            pieces[wire.name] = self._cut(draft, wire, sorted(cuts.get(index, ()), key=lambda cut: cut.at))
        renamed: dict[str, list[str]] = {}
        draft.wires = []
        for old, parts in pieces.items():
            for part in parts:
                name = f"{draft.circuit.name}/{len(draft.wires) + 1}"
                renamed.setdefault(old, []).append(name)
                draft.wires.append(replace(part, name=name))
        draft.shared = [new for old in draft.shared for new in renamed[old]]
        draft.out = [[new for old in way for new in renamed[old]] for way in draft.out]
        draft.back = [[new for old in way for new in renamed[old]] for way in draft.back]

    def _cut(self, draft: Draft, wire: Wire, cuts: list[_Cut]) -> list[Wire]:
        parts, start, begun = [], wire.start, 0
        for cut in cuts:
            end, onward = self._contact(draft, wire, cut)
            parts.append(_part(draft, wire, start, end, begun, cut.at))
            start, begun = onward, cut.at
        if not cuts:
            return [wire]
        return [*parts, _part(draft, wire, start, wire.end, begun, len(wire.path.places) - 1)]

    def _contact(self, draft: Draft, wire: Wire, cut: _Cut) -> tuple[End, End]:
        """Both ends at a contact of a pair: the one that the current comes by, and the one it goes on by."""
        runs, junction = wire.path.runs, cut.junction
        before = runs[cut.at - 1] if cut.at else None
        after = runs[cut.at] if cut.at < len(runs) else None
        sides = self._sides.setdefault(junction.name, _Sides())
        labels = cut.slot.labels
        device = draft.end(Lands.CONNECTOR, junction.place, f"connector: {junction.halves[0].name} cavity {labels[0]}")
        draft.use(device, wire.current_a)
        first, last = (
            replace(device, connector=body.name, cavity=label, half=half)
            for (body, half), label in zip(junction.sides, (labels[0], labels[-1]), strict=True)
        )
        return (first, last) if sides.from_first(before, after) else (last, first)

    def _seat(self, draft: Draft) -> None:
        circuit, fittings = draft.circuit.name, self._fittings
        waiting = [one for one in landings(draft.wires) if fittings.on_devices(one.end.place, circuit)]
        bodies = (body for one in waiting for body in fittings.on_devices(one.end.place, circuit))
        for junction in dict.fromkeys(bodies):
            here = [one for one in waiting if one.end.place == junction.place]
            for number, slot in seats_on_device(here, fittings.slots(junction, circuit)).items():
                landing = here[number]
                waiting.remove(landing)
                body = junction.halves[0]
                end = replace(landing.end, connector=body.name, cavity=slot.labels[0], half=body.half)
                wire = draft.wires[landing.wire]
                seated = replace(wire, start=end) if landing.is_start else replace(wire, end=end)
                draft.wires[landing.wire] = seated


def _part(draft: Draft, wire: Wire, start: End, end: End, begun: int, at: int) -> Wire:
    path: Path = draft.site.router.along(wire.path.places[begun], wire.path.runs[begun:at])
    length_m = draft.site.cut_length_m(path)
    return replace(wire, start=start, end=end, path=path, length_m=length_m)
