"""The draft of one circuit: what the patterns add wires to, stage by stage.

A circuit is drawn in four stages, each done by one pattern: its protection, its supply up to where
the load current leaves for the loads, the spread to the loads, and the return.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, replace

from circuits.harness.routes import Router
from circuits.patterns.book import DeviceBook
from circuits.patterns.colouring import RETURN_COLOUR, TO_CHOOSE
from circuits.patterns.taps import Tapped
from circuits.plan import Circuit, Plan
from circuits.rules import BuildRules
from circuits.wiring import CurrentPath, End, Lands, Path, Protection, Role, Wire


@dataclass(frozen=True, slots=True)
class Site:
    """What all drafts of one plan share.

    Parameters
    ----------
    plan : Plan
    circuit_names : collection of str
        All of the plan's.
    rules : BuildRules
    router : Router
    book : DeviceBook
    fuse_names : dict of str to str
        Name of the fuse that protects each circuit, by circuit: its own or that of a circuit upstream;
        no entry where none does.
    """

    plan: Plan
    circuit_names: Collection[str]
    rules: BuildRules
    router: Router
    book: DeviceBook
    fuse_names: dict[str, str]

    def cut_length_m(self, path: Path) -> float:
        """Length to cut for a path, with its loops and allowances [m]."""
        return self.rules.lengths.cut_length_m(path.length_m, self.router.loops_m(path, self.rules.lengths))

    def coil_fuse_name(self, circuit: Circuit) -> str:
        """Name of a circuit's control fuse; not that of any other circuit's own fuse."""
        name = f"{circuit.name} coil"
        while name in self.circuit_names:
            name += " fuse"
        return name


@dataclass(slots=True)
class Draft:
    """One circuit being drawn. Each stage leaves the next one what it needs.

    Parameters
    ----------
    site : Site
    circuit : Circuit
    load_a : float
        Current of one load [A].
    tapped : Tapped
        What the circuits fed by this one take off it.
    wires : list of Wire
        As laid so far, in order.
    protections : list of Protection
        Filled by the protection stage.
    source : End or None
        Where the next wire of the load current starts: left by protection, then by supply.
    trunk_role : Role
        Role of the wire that leaves ``source`` for the loads: left by supply.
    contacts : int
        Switch and relay contacts the load current passes.
    shared : list of str
        Wires every load's current passes: left by supply.
    out, back : list of list of str
        For each load, wires of its own way out and back.
    load_ends : list of End
        For each load, where it is joined: left by spread.
    through_chassis : bool
        True where the return stage leaves the current to the chassis.
    """

    site: Site
    circuit: Circuit
    load_a: float
    tapped: Tapped
    wires: list[Wire] = field(default_factory=list)
    protections: list[Protection] = field(default_factory=list)
    source: End | None = None
    trunk_role: Role = Role.LOAD
    contacts: int = 0
    shared: list[str] = field(default_factory=list)
    out: list[list[str]] = field(default_factory=list)
    back: list[list[str]] = field(default_factory=list)
    load_ends: list[End] = field(default_factory=list)
    through_chassis: bool = False

    @property
    def loads_a(self) -> float:
        """Current of all loads together [A]."""
        return self.load_a * len(self.circuit.load_at)

    @property
    def spread_a(self) -> tuple[float, ...]:
        """Current that arrives at each load: its own and what is taken off there [A]."""
        return tuple(self.load_a + tapped_a for tapped_a in self.tapped.at_loads)

    @property
    def supply_a(self) -> float:
        """Current up to the switch or relay [A]."""
        return sum(self.spread_a) + self.tapped.at_supply

    @property
    def fused_a(self) -> float:
        """Current where the supply starts [A]."""
        return self.supply_a + self.tapped.at_fuse

    @property
    def fuse(self) -> str | None:
        """Name of the fuse that protects the load current: own, or of a circuit upstream; None if none does."""
        return self.site.fuse_names.get(self.circuit.name)

    @property
    def start(self) -> End:
        """``source``, once a stage has set it."""
        assert self.source is not None, "the protection stage comes first"
        return self.source

    def end(self, lands: Lands, place: str, label: str, *, key: object = None, terminal: str = "") -> End:
        """A wire end on a device, entered in the book."""
        return self.site.book.end(lands, place, label, key=key, terminal=terminal)

    def use(self, end: End, current_a: float, states: tuple[str, ...] = ("",)) -> None:
        """Enter the current this circuit puts through a device [A]."""
        self.site.book.use(end, self.circuit.name, current_a, states)

    def add_wire(
        self, role: Role, start: End, end: End, current_a: float, *, path: Path | None = None, fuse: str | None
    ) -> str:
        """Add a wire along the shortest path (or the one given), protected by ``fuse``, and answer its name."""
        site, circuit = self.site, self.circuit
        if path is None:
            path = site.router.path(start.place, end.place)
        wire = Wire(
            name=f"{circuit.name}/{len(self.wires) + 1}",
            circuit=circuit.name,
            role=role,
            start=start,
            end=end,
            path=path,
            length_m=site.cut_length_m(path),
            current_a=current_a,
            colour=self._colour(is_return=role is Role.RETURN or end.lands is Lands.GROUND),
            protected_by=fuse,
            is_existing=not circuit.disposition.is_pulled_new,
        )
        self.wires.append(wire)
        return wire.name

    def _colour(self, *, is_return: bool) -> str:
        """Empty for a return that stays in the vehicle; live wires are coloured once all are drawn."""
        if not is_return:
            return TO_CHOOSE
        return RETURN_COLOUR if self.circuit.disposition.is_pulled_new else ""

    def add_load_wire(self, role: Role, start: End, end: End, current_a: float, *, path: Path | None = None) -> str:
        """``add_wire`` for a wire of the load current, which the fuse of the circuit protects."""
        return self.add_wire(role, start, end, current_a, path=path, fuse=self.fuse)

    def pigtail_to(self, ground: End, place: str) -> Path | None:
        """Path of a return from ``place`` to a ground point that is right there; None where it is elsewhere."""
        if ground.place != place:
            return None
        return replace(self.site.router.path(place, place), length_m=self.site.rules.lengths.ground_pigtail_m)

    def paths(self) -> tuple[CurrentPath, ...]:
        """The way of each load's current, once all stages are done."""
        circuit = self.circuit
        own = tuple(fuse.name for fuse in self.protections if fuse.name == circuit.name)
        cut = {wire.name for wire in self.wires if wire.end.lands is Lands.CONNECTOR}
        return tuple(
            CurrentPath(
                circuit=circuit.name,
                load_at=place,
                out=(out := (*self.shared, *self.out[load])),
                back=(back := tuple(self.back[load])),
                contacts=2 * (len(out) + len(back)) + self.contacts + len(cut.intersection((*out, *back))),
                protections=own,
                through_chassis=self.through_chassis,
                upstream=circuit.feed if circuit.is_fed_by_circuit else "",
            )
            for load, place in enumerate(circuit.load_at)
        )


def ground_end(draft: Draft, place: str) -> End:
    """The ground point at a place: one for all circuits that land there."""
    return draft.end(Lands.GROUND, place, f"ground: {place}", terminal="31")
