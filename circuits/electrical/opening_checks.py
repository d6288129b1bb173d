"""Rules on opening: does a short at the far end open the fuse, and the right fuse first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from circuits.electrical.conductors import conductors, copper_area_mm2, stocked_conductors
from circuits.electrical.coordination import first_unselective_a
from circuits.electrical.fault_current import (
    OPENS_WITHIN_S,
    FarShort,
    far_shorts,
    near_short_a,
    needed_a,
)
from circuits.electrical.gates import Curve, earliest, latest
from circuits.electrical.one_circuit import Outcome
from circuits.electrical.protection import RatedProtection, standard_fuses
from circuits.figures import format_current, significant
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.plan import FuseFamily
from circuits.wiring import Role


def short_never_opens(outcome: Outcome) -> Iterator[Finding]:
    """short-never-opens: a short at the far end draws less than the fuse must open at."""
    worst = _worst(outcome)
    if worst is None or worst.opens_s != float("inf"):
        return
    first_a = latest(worst.rated.protection.family).multiples[0] * worst.rated.held_a
    message = f"{_shorted(outcome, worst)}: its {_fuse(worst.rated)} need not open"
    yield _finding("short-never-opens", outcome, worst, message, first_a)


def short_opens_late(outcome: Outcome) -> Iterator[Finding]:
    """short-opens-late: a short at the far end opens its fuse, but not within 5 s."""
    worst = _worst(outcome)
    if worst is None or not OPENS_WITHIN_S * (1 + 1e-9) < worst.opens_s < float("inf"):
        return
    taken = f"{significant(worst.opens_s, 2)} s"
    message = f"{_shorted(outcome, worst)}: its {_fuse(worst.rated)} may take {taken} to open"
    yield _finding("short-opens-late", outcome, worst, message, worst.needed_a)


def fuse_not_selective(outcome: Outcome) -> Iterator[Finding]:
    """fuse-not-selective: a fuse upstream may open before the circuit's own."""
    above = outcome.job.above
    feeder = earliest(above.protection.family) if above and above.fuse else None
    if above is None or feeder is None:
        return
    for rated in outcome.job.fuses:
        if rated.fuse is None:
            continue
        at_a = _unselective_a(outcome, rated.protection.family, rated.held_a, feeder, above.held_a)
        if at_a is not None:
            yield finding(
                "fuse-not-selective",
                outcome.job.circuit.name,
                f"{rated.protection.name}: from {format_current(at_a)} on, the {_fuse(above)} of"
                f" {above.protection.name} may open before its own {_fuse(rated)}",
                figure=format_current(at_a),
                limit=format_current(near_short_a(outcome)),
                cure=_selective(outcome, rated, above, feeder),
            )
            return


OPENING_RULES = (short_never_opens, short_opens_late, fuse_not_selective)


def _worst(outcome: Outcome) -> FarShort | None:
    """The short that is farthest from opening its fuse."""
    return min(far_shorts(outcome), key=lambda short: short.current_a / short.needed_a, default=None)


def _shorted(outcome: Outcome, short: FarShort) -> str:
    return f"{outcome.job.circuit.name}: a short at {short.load_at} draws only {format_current(short.current_a)}"


def _fuse(rated: RatedProtection) -> str:
    return f"{format_current(rated.held_a)} {rated.protection.family} fuse"


def _finding(code: str, outcome: Outcome, short: FarShort, message: str, limit_a: float) -> Finding:
    figure, limit = format_current(short.current_a), format_current(limit_a)
    cure = _opening(outcome)
    return finding(code, outcome.job.circuit.name, message, wire=short.wire, figure=figure, limit=limit, cure=cure)


def _opening(outcome: Outcome) -> str:
    """A smaller fuse that still carries the load, or a thicker wire, with which the fuse opens in time."""
    shorts = far_shorts(outcome)
    fuse = _smaller_fuse(outcome, shorts)
    ways = [f"use a {fuse}"] if fuse else []
    size = _thicker(outcome)
    if size:
        ways.append(f"fit {size}")
    text = " or ".join(ways) or "split the circuit, or feed it from nearer"
    return f"{text[0].upper()}{text[1:]}."


def _smaller_fuse(outcome: Outcome, shorts: tuple[FarShort, ...]) -> str:
    rated = outcome.job.own_fuse
    if rated is None or any(short.rated is not rated for short in shorts):
        return ""
    load_a, least_a = rated.protection.load_a, min(short.current_a for short in shorts)
    for family in (rated.protection.family, *_FASTER):
        for fuse in standard_fuses(family):
            carries = load_a <= rated.share * fuse.rating_a
            if carries and fuse.rating_a <= rated.held_a and needed_a(family, fuse.rating_a) <= least_a:
                return f"{format_current(fuse.rating_a)} {family} fuse"
    return ""


_FASTER = (FuseFamily.BLADE, FuseFamily.MINI_BLADE, FuseFamily.MAXI_BLADE)


def _thicker(outcome: Outcome) -> str:
    """Smallest size for all of the circuit's power wires with which its fuse opens in time; empty if none helps."""
    stocked = stocked_conductors(outcome.job.rules)
    power = [sized for sized in outcome.sized.wires if sized.wire.role is not Role.RELAY_COIL]
    least = max((copper_area_mm2(sized.conductor) for sized in power), default=0.0)
    for sizes, note in ((stocked, ""), (conductors(outcome.job.rules.series), " (not in stock)")):
        for size in sizes:
            if copper_area_mm2(size) >= least:
                shorts = far_shorts(outcome, {sized.wire.name: size for sized in power})
                if all(short.current_a >= short.needed_a for short in shorts):
                    return f"{size.label}{note}"
    return ""


def _unselective_a(
    outcome: Outcome, family: FuseFamily, rating_a: float, feeder: Curve, feeder_a: float
) -> float | None:
    """Where the feeder's fuse may be first; past both their last gates nothing changes any more."""
    branch = latest(family)
    last_a = max(branch.multiples[-1] * rating_a, feeder.multiples[-1] * feeder_a)
    return first_unselective_a(branch, rating_a, feeder, feeder_a, min(near_short_a(outcome), last_a))


def _selective(outcome: Outcome, rated: RatedProtection, above: RatedProtection, feeder: Curve) -> str:
    """A faster or smaller fuse for the circuit, or a larger one for its feeder, with which the order is right."""
    for family in (rated.protection.family, *_FASTER):
        for fuse in standard_fuses(family):
            carries = rated.protection.load_a <= rated.share * fuse.rating_a
            if carries and _unselective_a(outcome, family, fuse.rating_a, feeder, above.held_a) is None:
                return f"Use a {format_current(fuse.rating_a)} {family} fuse."
    for fuse in standard_fuses(above.protection.family):
        if fuse.rating_a > above.held_a:
            larger = replace(above, held_a=fuse.rating_a)
            family = rated.protection.family
            if _unselective_a(outcome, family, rated.held_a, feeder, larger.held_a) is None:
                return f"Use a {_fuse(larger)} for {above.protection.name}, and the wire that suits it."
    return "Feed it straight from the battery, or split the circuit."
