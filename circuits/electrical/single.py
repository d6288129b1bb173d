"""One wire at the bench: a load and a length in, a size and a fuse out, by the same engine as a whole plan."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.explain import explain
from circuits.electrical.sizing import size_wiring
from circuits.errors import PlanError
from circuits.findings import Finding
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Return, Run, Vehicle, Zone
from circuits.rules import BuildRules
from circuits.sized import Fuse, SizedCircuit, SizedWire
from circuits.wiring import CurrentPath, End, Lands, Path, Protection, Role, Wire, Wiring

_NAME = "wire"
_FROM, _TO, _ZONE = "supply", "load", "the hot place"
_FUSE_BOX = Run(_FROM, "fuse box", 0.1, "cabin")
"""The fuse sits in the cabin, however hot it is where the wire goes."""


@dataclass(frozen=True, slots=True)
class SingleLoad:
    """One load at the end of one wire.

    Parameters
    ----------
    length_m : float
        Length of the wire one way, as it will be cut [m].
    load_a, load_w : float or None
        Exactly one of the two [A], [W at ``system_v``].
    ambient_c : float
        Hottest place it passes [°C].
    bundle : int
        Loaded wires in its bundle, itself included.
    max_drop_percent : float
        Of ``system_v``, out and back [%].
    system_v : float
        12 or 24 [V].
    duty : Duty
    return_by : Return
        By chassis: a pigtail to a ground point at the load, then the body. Wired: as long as the way out.
    fuse_family : FuseFamily or None
        None = the shop's usual family.
    fuse_a : float or None
        Forced rating [A].
    size : str
        Forced size; empty = chosen.
    chassis_resistance_ohm : float
        Between two ground points [ohm].
    """

    length_m: float
    load_a: float | None = None
    load_w: float | None = None
    ambient_c: float = 40.0
    bundle: int = 1
    max_drop_percent: float = 5.0
    system_v: float = 12.0
    duty: Duty = Duty.CONTINUOUS
    return_by: Return = Return.CHASSIS
    fuse_family: FuseFamily | None = None
    fuse_a: float | None = None
    size: str = ""
    chassis_resistance_ohm: float = 0.005

    def __post_init__(self) -> None:
        if self.bundle < 1:
            raise PlanError(f"bundle counts the wire itself: it must be 1 or more, got {self.bundle}")


@dataclass(frozen=True, slots=True)
class SingleResult:
    """What to fit.

    Parameters
    ----------
    load : SingleLoad
    circuit : SizedCircuit
    wire : SizedWire
        The wire out; a wired return gets the same size.
    fuse : Fuse or None
    findings : tuple of Finding
    why : str
        The reasons in one line.
    """

    load: SingleLoad
    circuit: SizedCircuit
    wire: SizedWire
    fuse: Fuse | None
    findings: tuple[Finding, ...]
    why: str


def size_single(load: SingleLoad, rules: BuildRules | None = None) -> SingleResult:
    """Size one wire and its fuse.

    Parameters
    ----------
    load : SingleLoad
    rules : BuildRules, optional
        The shop's ways; the defaults where not given.

    Raises
    ------
    PlanError
        If a value is outside what a plan can hold, naming it.
    TableError
        If the rules name a size that no table holds.

    Examples
    --------
    >>> result = size_single(SingleLoad(load_w=55.0, length_m=3.0, max_drop_percent=3.0))
    >>> result.wire.conductor.label, result.fuse.rating_a, round(result.circuit.drop_percent, 1)
    ('16 AWG', 7.5, 2.6)
    """
    rules = rules or BuildRules()
    sized = size_wiring(_wiring(load, rules), rules)
    circuit = sized.circuits[0]
    wire = circuit.wires[0]
    return SingleResult(load, circuit, wire, circuit.fuse, sized.findings, explain(wire))


def _wiring(load: SingleLoad, rules: BuildRules) -> Wiring:
    circuit = _circuit(load)
    plan = Plan(
        vehicle=Vehicle(system_v=load.system_v, chassis_resistance_ohm=load.chassis_resistance_ohm),
        zones=(Zone(_ZONE, load.ambient_c),),
        runs=(Run(_FROM, _TO, load.length_m, _ZONE), _FUSE_BOX),
        circuits=(circuit,),
    )
    current_a = circuit.load_current_a(load.system_v)
    family = load.fuse_family or rules.sizing.fuse_family
    protection = Protection(
        _NAME, _NAME, _FROM, family, load.fuse_a, current_a, continuous=load.duty is Duty.CONTINUOUS
    )
    fused = family is not FuseFamily.NONE
    wires = (_out(load, current_a, fused), _back(load, current_a, fused, rules))
    path = CurrentPath(
        circuit=_NAME,
        load_at=_TO,
        out=(wires[0].name,),
        back=(wires[1].name,),
        contacts=2 * len(wires),
        protections=(_NAME,) if fused else (),
        through_chassis=load.return_by is Return.CHASSIS,
    )
    return Wiring(plan, wires, (protection,) if fused else (), (path,), (), ())


def _circuit(load: SingleLoad) -> Circuit:
    return Circuit(
        name=_NAME,
        section="bench",
        feed="ignition",  # a wire on the bench is no draw of a parked vehicle
        fed_at=_FROM,
        load="load",
        load_at=(_TO,),
        kind=Kind.ELECTRONICS,
        load_a=load.load_a,
        load_w=load.load_w,
        duty=load.duty,
        return_by=load.return_by,
        max_drop_percent=load.max_drop_percent,
        size=load.size,
        fuse_a=load.fuse_a,
        fuse_family=load.fuse_family,
    )


def _out(load: SingleLoad, current_a: float, fused: bool) -> Wire:
    return Wire(
        name=f"{_NAME}/1",
        circuit=_NAME,
        role=Role.LOAD,
        start=End(_FROM, Lands.FUSE, "fuse"),
        end=End(_TO, Lands.LOAD, "load"),
        path=Path((_FROM, _TO), (0,), load.length_m, load.ambient_c, _ZONE),
        length_m=load.length_m,
        current_a=current_a,
        colour="",
        protected_by=_NAME if fused else None,
        is_existing=False,
        bundle=load.bundle,
    )


def _back(load: SingleLoad, current_a: float, fused: bool, rules: BuildRules) -> Wire:
    """The wired return beside the wire out, or the pigtail to the ground point at the load."""
    wired = load.return_by is Return.WIRED
    length_m = load.length_m if wired else rules.lengths.ground_pigtail_m
    places, runs = ((_TO, _FROM), (0,)) if wired else ((_TO,), ())
    return Wire(
        name=f"{_NAME}/2",
        circuit=_NAME,
        role=Role.RETURN,
        start=End(_TO, Lands.LOAD, "load"),
        end=End(places[-1], Lands.GROUND, "ground"),
        path=Path(places, runs, length_m, load.ambient_c, _ZONE),
        length_m=length_m,
        current_a=current_a,
        colour="BK",
        protected_by=_NAME if fused else None,
        is_existing=False,
        bundle=load.bundle if wired else 1,
    )
