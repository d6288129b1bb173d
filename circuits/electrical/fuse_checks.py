"""Rules on protection: is there a fuse, does it carry the load, does it protect the wire."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.electrical.advice import size_that_does
from circuits.electrical.limits import holds
from circuits.electrical.one_circuit import Outcome
from circuits.electrical.protection import RatedProtection, fuse_of_another_family, smallest_fuse, standard_fuses
from circuits.figures import format_current
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.sized import Limit, SizedWire
from circuits.wiring import Wire


def no_fuse(outcome: Outcome) -> Iterator[Finding]:
    """no-fuse: the family has no rating for the load."""
    for rated in outcome.job.fuses:
        if rated.fuse is not None:
            continue
        family, load_a = rated.protection.family, rated.protection.load_a
        other = fuse_of_another_family(family, load_a, rated.share)
        cure = "Split the circuit."
        if other:
            cure = f"Use a {format_current(other.rating_a)} {other.family} fuse, or split the circuit."
        yield finding(
            "no-fuse",
            rated.protection.circuit,
            f"{rated.protection.name}: no {family} fuse carries {_load(rated)}",
            figure=f"{format_current(load_a / rated.share)} or more",
            limit=f"{format_current(standard_fuses(family)[-1].rating_a)}, the largest",
            cure=cure,
        )


def unprotected_wire(outcome: Outcome) -> Iterator[Finding]:
    """unprotected-wire: nothing opens if the wire is shorted, and it is no cranking cable."""
    bare = [w.wire for w in outcome.sized.wires if outcome.own.fuse_of(w.wire) is None]
    bare = [wire for wire in bare if not outcome.own.is_cranking(wire)]
    if bare:
        name = outcome.job.circuit.name
        yield finding("unprotected-wire", name, f"{name}: no fuse protects {_named(bare)}", wire=bare[0].name)


def cranking_unfused(outcome: Outcome) -> Iterator[Finding]:
    """cranking-unfused: a starter's cable goes without a fuse, as is usual."""
    cables = [w.wire for w in outcome.sized.wires if outcome.own.is_cranking(w.wire)]
    if cables:
        name = outcome.job.circuit.name
        carried = format_current(max(wire.current_a for wire in cables))
        message = f"{name}: its cable carries {carried} while cranking and has no fuse; nothing opens if it is shorted"
        yield finding("cranking-unfused", name, message, wire=cables[0].name, figure=carried)


def forced_fuse_not_standard(outcome: Outcome) -> Iterator[Finding]:
    """forced-fuse-not-standard: nobody sells that rating of that family."""
    for rated, forced_a in _forced(outcome):
        ratings = [fuse.rating_a for fuse in standard_fuses(rated.protection.family)]
        if forced_a in ratings or not ratings:
            continue
        near = [
            max((r for r in ratings if r < forced_a), default=0),
            min((r for r in ratings if r > forced_a), default=0),
        ]
        sold = " or ".join(format_current(rating) for rating in near if rating)
        yield finding(
            "forced-fuse-not-standard",
            rated.protection.circuit,
            f"{rated.protection.name}: {format_current(forced_a)} is no rating of a {rated.protection.family} fuse",
            figure=format_current(forced_a),
            limit=sold,
            cure=f"Use {sold}.",
        )


def forced_fuse_low(outcome: Outcome) -> Iterator[Finding]:
    """forced-fuse-low: it carries the load, but without the margin asked for."""
    for rated, forced_a in _forced(outcome):
        load_a = rated.protection.load_a
        if holds(load_a, rated.steady_share * forced_a) or not holds(load_a, forced_a):
            continue
        message = (
            f"{rated.protection.name}: a {format_current(forced_a)} fuse carries {_load(rated)}, "
            f"more than {rated.steady_share * 100:.0f} % of its rating"
        )
        yield _low("forced-fuse-low", rated, message, rated.steady_share * forced_a)


def forced_fuse_inrush(outcome: Outcome) -> Iterator[Finding]:
    """forced-fuse-inrush: switching its load on may open it."""
    for rated, forced_a in _forced(outcome):
        load_a, margin = rated.protection.load_a, rated.fuse.inrush_margin if rated.fuse else None
        if margin is None or margin >= 1 or not holds(load_a, rated.steady_share * forced_a):
            continue
        message = (
            f"{rated.protection.name}: switching {_load(rated)} on may open a {format_current(forced_a)} fuse: "
            f"its shortest time is {margin:.2f} of what that takes"
        )
        yield _low("forced-fuse-inrush", rated, message, rated.share * forced_a)


def forced_fuse_below_load(outcome: Outcome) -> Iterator[Finding]:
    """forced-fuse-below-load: it opens in normal use."""
    for rated, forced_a in _forced(outcome):
        if not holds(rated.protection.load_a, forced_a):
            message = f"{rated.protection.name}: a {format_current(forced_a)} fuse opens under {_load(rated)}"
            yield _low("forced-fuse-below-load", rated, message, forced_a)


def forced_fuse_over_wire(outcome: Outcome) -> Iterator[Finding]:
    """forced-fuse-over-wire: the wire burns before the fuse opens."""
    broken = [(rated, wire) for rated, _ in _forced(outcome) for wire in _over_wire(outcome, rated)]
    if not broken:
        return
    rated, wire = min(broken, key=lambda pair: _largest_fuse_a(pair[1]))
    rating, largest = format_current(rated.held_a), format_current(_largest_fuse_a(wire))
    yield finding(
        "forced-fuse-over-wire",
        rated.protection.circuit,
        f"{rated.protection.name}: a {rating} fuse does not protect {wire.wire.name}, "
        f"whose {wire.conductor.label} stands a fuse of up to {largest} there",
        wire=wire.wire.name,
        figure=rating,
        limit=largest,
        cure=_protecting(outcome, rated, wire),
    )


FUSE_RULES = (
    no_fuse,
    unprotected_wire,
    cranking_unfused,
    forced_fuse_not_standard,
    forced_fuse_low,
    forced_fuse_inrush,
    forced_fuse_below_load,
    forced_fuse_over_wire,
)


def _forced(outcome: Outcome) -> Iterator[tuple[RatedProtection, float]]:
    for rated in outcome.job.fuses:
        if rated.protection.forced_a is not None:
            yield rated, rated.protection.forced_a


def _low(code: str, rated: RatedProtection, message: str, limit_a: float) -> Finding:
    protection = rated.protection
    fitting = smallest_fuse(protection.family, protection.load_a, rated.share)
    fitting = fitting or fuse_of_another_family(protection.family, protection.load_a, rated.share)
    cure = f"Use a {format_current(fitting.rating_a)} {fitting.family} fuse." if fitting else "Split the circuit."
    figure, limit = format_current(protection.load_a), format_current(limit_a)
    return finding(code, protection.circuit, message, figure=figure, limit=limit, cure=cure)


def _over_wire(outcome: Outcome, rated: RatedProtection) -> list[SizedWire]:
    return [
        wire
        for wire in outcome.sized.wires
        if wire.wire.protected_by == rated.protection.name
        and any(t.limit is Limit.FUSE and not t.ok and t.size == wire.conductor.label for t in wire.tried)
    ]


def _largest_fuse_a(wire: SizedWire) -> float:
    """Largest rating that protects the wire as it is [A]."""
    return next(t.allowed for t in wire.tried if t.limit is Limit.FUSE and t.size == wire.conductor.label)


def _protecting(outcome: Outcome, rated: RatedProtection, wire: SizedWire) -> str:
    """A fuse that protects the wire as it is and still carries the load, or the size that suits the fuse."""
    fuse = smallest_fuse(rated.protection.family, rated.protection.load_a, rated.share)
    size = size_that_does(outcome, wire.wire)
    ways = []
    if fuse and holds(fuse.rating_a, _largest_fuse_a(wire)):
        ways.append(f"use a {format_current(fuse.rating_a)} fuse")
    if size:
        ways.append(f"fit {size}")
    text = " or ".join(ways) or "split the circuit"
    return f"{text[0].upper()}{text[1:]}."


def _load(rated: RatedProtection) -> str:
    kind = "continuous" if rated.protection.continuous else "intermittent"
    return f"{format_current(rated.protection.load_a)} {kind}"


def _named(wires: list[Wire]) -> str:
    more = f" and {len(wires) - 1} more of its wires" if len(wires) > 1 else ""
    return f"{wires[0].name}{more}"
