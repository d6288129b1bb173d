"""Fuses with their spares, what holds them, and relays with their sockets."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from circuits.plan import Disposition
from circuits.sized import Fuse
from circuits.wiring import Lands
from estimating.takeoff.needs import Need
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.scope import Scope
from estimating.takeoff.tables import Row, ladder, rows_of
from estimating.takeoff.wires import PACKAGE

RENEWED = (Disposition.NEW, Disposition.REPLACE, Disposition.REPAIR)
"""Dispositions whose fuse is fitted new; a circuit that is kept keeps its fuse."""


def panel_needs(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """Needs of protection and relays.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> scope = Scope.of(example_sized_plan())
    >>> for need in panel_needs(scope, TakeoffRules()):
    ...     print(f"{need.kind}: {need.spec} x {need.quantity}")
    fuse: blade 5 A x 1
    panel position: blade, lighting x 1
    fuse: blade 5 A x 2
    panel position: blade, spare x 1
    """
    mounts = {row["family"]: row for row in rows_of(PACKAGE, "fuse_mounts.csv")}
    fuses = [fuse for fuse in scope.sized.fuses if scope.circuits[fuse.circuit].disposition in RENEWED]
    for fuse in fuses:
        yield _fuse(fuse, 1, (fuse.circuit,))
        if scope.circuits[fuse.circuit].disposition.is_pulled_new:
            yield _mount(scope, fuse, mounts[fuse.family])
    yield from _spare_fuses(fuses, mounts, rules)
    yield from _spare_positions(scope, fuses, mounts, rules)
    yield from _relays(scope)


def _fuse(fuse: Fuse, quantity: int, causes: tuple[str, ...]) -> Need:
    return Need(PartKind.FUSE, f"{fuse.family} {fuse.rating_a:g} A", quantity, Unit.PIECE, causes, fuse.rating_a)


def _mount(scope: Scope, fuse: Fuse, mount: Row) -> Need:
    kind = PartKind(mount["mount"])
    spec = mount["spec"]
    if kind is PartKind.PANEL_POSITION and (bus := scope.bus_of(fuse.circuit)):
        spec = f"{spec}, {bus}"
    return Need(kind, spec, 1, Unit.PIECE, (fuse.circuit,))


def _spare_fuses(fuses: list[Fuse], mounts: dict[str, Row], rules: TakeoffRules) -> Iterator[Need]:
    ratings = {(fuse.family, fuse.rating_a): fuse for fuse in fuses if mounts[fuse.family]["is_spared"] == "yes"}
    for fuse in ratings.values():
        yield _fuse(fuse, rules.spare_fuses, ())


def _spare_positions(scope: Scope, fuses: list[Fuse], mounts: dict[str, Row], rules: TakeoffRules) -> Iterator[Need]:
    fitted = Counter(
        (fuse.at, mounts[fuse.family]["spec"])
        for fuse in fuses
        if mounts[fuse.family]["mount"] == PartKind.PANEL_POSITION
        and scope.circuits[fuse.circuit].disposition.is_pulled_new
    )
    for (_, spec), count in fitted.items():
        spare = math.ceil(round(count * rules.spare_positions_percent / 100, 9))
        yield Need(PartKind.PANEL_POSITION, f"{spec}, spare", spare, Unit.PIECE, (), 1)


def _relays(scope: Scope) -> Iterator[Need]:
    sizes = ladder(PACKAGE, "relays.csv", "max_current_a")
    volts = f"{scope.sized.wiring.plan.vehicle.system_v:g} V"
    for device, causes in scope.fresh_devices(Lands.RELAY):
        row = sizes.row(device.current_a)
        rating_a = float(row["rating_a"])
        yield Need(PartKind.RELAY, f"{row['relay']} {volts} {rating_a:g} A", 1, Unit.PIECE, causes, rating_a)
        yield Need(PartKind.RELAY_SOCKET, row["socket"], 1, Unit.PIECE, causes, rating_a)
