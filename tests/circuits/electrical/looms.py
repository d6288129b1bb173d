"""One-circuit wirings made by hand, for tests that want nothing but the figures they state."""

from __future__ import annotations

from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.rules import AmpacityBy, BuildRules, LengthRules, Series, SizingRules
from circuits.wiring import CurrentPath, End, Lands, Path, Protection, Role, Wire, Wiring


def bare_rules(**changed: object) -> BuildRules:
    """Rules under which only conductors count, by table, in every AWG size from 18 up, unless changed."""
    sizes = ("18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0")
    values: dict[str, object] = {
        "insulation_class_c": 105,
        "ampacity_by": AmpacityBy.TABLE,
        "contact_ohm": 0.0,
        "min_area_mm2": 0.05,
        "series": Series.AWG,
        "sizes": tuple(f"{size} AWG" for size in sizes),
    }
    return BuildRules(SizingRules(**(values | changed)), LengthRules(ground_pigtail_m=0.0))  # type: ignore[arg-type]


def end(lands: Lands = Lands.LOAD, place: str = "there") -> End:
    """A wire end on a device of no interest."""
    return End(place, lands, f"{lands.value} {place}")


def wire(
    number: int,
    *,
    circuit: str = "lamp",
    role: Role = Role.LOAD,
    length_m: float = 3.0,
    current_a: float = 10.0,
    ambient_c: float = 30.0,
    bundle: int = 1,
    fuse: str | None = "lamp",
) -> Wire:
    """A wire of a circuit, in a place of its own."""
    return Wire(
        name=f"{circuit}/{number}",
        circuit=circuit,
        role=role,
        start=end(Lands.FUSE),
        end=end(),
        path=Path(("here", "there"), (0,), length_m, ambient_c, "cabin"),
        length_m=length_m,
        current_a=current_a,
        colour="RD",
        protected_by=fuse,
        is_existing=False,
        bundle=bundle,
    )


def circuit(name: str = "lamp", load_a: float | None = 10.0, **changed: object) -> Circuit:
    """A circuit with one load."""
    values: dict[str, object] = {
        "name": name,
        "section": "front",
        "feed": "ignition",
        "fed_at": "here",
        "load": name,
        "load_at": ("there",),
        "kind": Kind.LAMP,
        "load_a": load_a,
    }
    return Circuit(**(values | changed))  # type: ignore[arg-type]


def fuse(of: Circuit, load_a: float | None = None) -> Protection:
    """The own fuse of a circuit."""
    family = of.fuse_family or FuseFamily.BLADE
    carried_a = of.load_current_a(12.0) if load_a is None else load_a
    return Protection(of.name, of.name, of.fed_at, family, of.fuse_a, carried_a, continuous=of.duty is Duty.CONTINUOUS)


def path(of: Circuit, out: tuple[Wire, ...], back: tuple[Wire, ...] = (), **changed: object) -> CurrentPath:
    """The way of a circuit's only load."""
    values: dict[str, object] = {
        "circuit": of.name,
        "load_at": "there",
        "out": tuple(one.name for one in out),
        "back": tuple(one.name for one in back),
        "contacts": 0,
        "protections": (of.name,),
        "through_chassis": False,
        "upstream": "",
    }
    return CurrentPath(**(values | changed))  # type: ignore[arg-type]


def wiring(
    circuits: tuple[Circuit, ...],
    wires: tuple[Wire, ...],
    fuses: tuple[Protection, ...],
    paths: tuple[CurrentPath, ...],
    vehicle: Vehicle | None = None,
) -> Wiring:
    """A wiring of these parts, on a loom of one run."""
    plan = Plan(vehicle or Vehicle(chassis_resistance_ohm=0.0), (), (Run("here", "there", 3.0),), circuits)
    return Wiring(plan, wires, fuses, paths, (), ())
