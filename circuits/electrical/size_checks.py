"""Rules on sizes: is there one that meets every limit, does a forced one."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.electrical.advice import size_for_drop, size_that_does
from circuits.electrical.one_circuit import Outcome
from circuits.electrical.wording import allowed_text, percent_text, value_text
from circuits.figures import format_temperature
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.rules import INSULATION_CLASSES_C
from circuits.sized import Limit, SizedWire, Trial
from circuits.wiring import Role

_CARRYING = (Limit.AMPACITY, Limit.SHORT_TIME)


def too_hot(outcome: Outcome) -> Iterator[Finding]:
    """too-hot: the ambient alone reaches the insulation class."""
    class_c = outcome.job.rules.insulation_class_c
    hot = [w.wire for w in outcome.sized.wires if w.wire.path.ambient_c >= class_c]
    if not hot:
        return
    wire = max(hot, key=lambda w: w.path.ambient_c)
    zone, ambient = wire.path.hottest_zone, format_temperature(wire.path.ambient_c)
    better = [c for c in INSULATION_CLASSES_C if c > wire.path.ambient_c]
    cure = f"Move the run out of {zone}" + (f", or use a {better[0]} °C class wire." if better else ".")
    yield finding(
        "too-hot",
        outcome.job.circuit.name,
        f"{wire.name} passes {zone} at {ambient}, where its {class_c} °C insulation carries nothing",
        wire=wire.name,
        figure=ambient,
        limit=format_temperature(class_c),
        cure=cure,
    )


def no_size(outcome: Outcome) -> Iterator[Finding]:
    """no-size: not even the thickest in stock meets the wire's own limits."""
    chosen = [w for w in _not_too_hot(outcome) if not _is_forced(outcome, w)]
    worst = _worst(chosen, (*_CARRYING, Limit.MECHANICAL, Limit.FUSE))
    if worst is None:
        return
    wire, trial = worst
    rated = outcome.own.fuse_of(wire.wire)
    if trial.limit is Limit.FUSE and rated and rated.protection.forced_a is not None:
        return  # the fuse is at fault: forced-fuse-over-wire
    size = size_that_does(outcome, wire.wire)
    cure = f"Fit {size}." if size else "Split the circuit, or move the run to a cooler place or out of its bundle."
    yield finding(
        "no-size",
        outcome.job.circuit.name,
        f"{wire.wire.name}: not even {trial.size}, the largest in stock, will do: {_told(trial)}",
        wire=wire.wire.name,
        figure=value_text(trial),
        limit=allowed_text(trial),
        cure=cure,
    )


def drop_over_limit(outcome: Outcome) -> Iterator[Finding]:
    """drop-over-limit: not even the thickest in stock keeps the drop."""
    worst = _worst([w for w in outcome.sized.wires if not _is_forced(outcome, w)], (Limit.DROP,))
    if worst is not None:
        trial = worst[1]
        yield _too_much_drop(outcome, "drop-over-limit", trial, f"even in {trial.size}")


def drop_from_battery(outcome: Outcome) -> Iterator[Finding]:
    """drop-from-battery: the feeders before it have used up more than one may, and too little is left."""
    job, sized = outcome.job, outcome.sized
    allowed = job.limit_percent + job.rules.feeder_max_drop_percent
    whole = sized.supply_drop_percent + sized.drop_percent
    if sized.supply_drop_percent <= job.rules.feeder_max_drop_percent or whole <= allowed:
        return
    yield finding(
        "drop-from-battery",
        job.circuit.name,
        f"{job.circuit.name}: from the battery on it drops {percent_text(whole)},"
        f" {percent_text(sized.supply_drop_percent)} of it in its feeders",
        figure=percent_text(whole),
        limit=percent_text(allowed),
        cure="Fit a thicker feeder, or feed it straight from the battery.",
    )


def forced_size_unknown(outcome: Outcome) -> Iterator[Finding]:
    """forced-size-unknown: no table holds the size; one was chosen instead."""
    circuit = outcome.job.circuit
    if circuit.size and outcome.job.forced_size is None:
        message = f"{circuit.name}: no table holds the size {circuit.size} that the plan forces; it was chosen instead"
        yield finding("forced-size-unknown", circuit.name, message, figure=circuit.size)


def forced_size_ampacity(outcome: Outcome) -> Iterator[Finding]:
    """forced-size-ampacity: the load overheats the wire."""
    yield from _forced_size(outcome, "forced-size-ampacity", _CARRYING)


def forced_size_fuse(outcome: Outcome) -> Iterator[Finding]:
    """forced-size-fuse: the wire is too thin for the fuse that the load needs."""
    if outcome.job.circuit.fuse_a is None:  # a forced fuse is at fault itself: forced-fuse-over-wire
        yield from _forced_size(outcome, "forced-size-fuse", (Limit.FUSE,))


def forced_size_mechanical(outcome: Outcome) -> Iterator[Finding]:
    """forced-size-mechanical: thinner than the shop builds."""
    yield from _forced_size(outcome, "forced-size-mechanical", (Limit.MECHANICAL,))


def forced_size_drop(outcome: Outcome) -> Iterator[Finding]:
    """forced-size-drop: the load gets too little voltage."""
    worst = _worst([w for w in outcome.sized.wires if _is_forced(outcome, w)], (Limit.DROP,))
    if worst is not None:
        trial = worst[1]
        yield _too_much_drop(outcome, "forced-size-drop", trial, f"in the {trial.size} that the plan forces")


SIZE_RULES = (
    too_hot,
    no_size,
    drop_over_limit,
    drop_from_battery,
    forced_size_unknown,
    forced_size_ampacity,
    forced_size_fuse,
    forced_size_mechanical,
    forced_size_drop,
)


def _is_forced(outcome: Outcome, wire: SizedWire) -> bool:
    return outcome.job.forced_size is not None and wire.wire.role is not Role.RELAY_COIL


def _not_too_hot(outcome: Outcome) -> list[SizedWire]:
    """Wires whose ambient is below their class: of the others all is said by too-hot."""
    return [w for w in outcome.sized.wires if w.wire.path.ambient_c < outcome.job.rules.insulation_class_c]


def _worst(wires: list[SizedWire], limits: tuple[Limit, ...]) -> tuple[SizedWire, Trial] | None:
    """Among the limits broken at the chosen sizes, the one broken by most."""
    broken = [
        (wire, trial)
        for wire in wires
        for trial in wire.tried
        if not trial.ok and trial.size == wire.conductor.label and trial.limit in limits
    ]
    return max(broken, key=lambda pair: pair[1].value / pair[1].allowed, default=None)


def _forced_size(outcome: Outcome, code: str, limits: tuple[Limit, ...]) -> Iterator[Finding]:
    worst = _worst([w for w in _not_too_hot(outcome) if _is_forced(outcome, w)], limits)
    if worst is None:
        return
    wire, trial = worst
    size = size_that_does(outcome, wire.wire)
    yield finding(
        code,
        outcome.job.circuit.name,
        f"{wire.wire.name}: the {trial.size} that the plan forces will not do: {_told(trial)}",
        wire=wire.wire.name,
        figure=value_text(trial),
        limit=allowed_text(trial),
        cure=f"Fit {size}." if size else "Split the circuit.",
    )


def _told(trial: Trial) -> str:
    value, allowed = value_text(trial), allowed_text(trial)
    return {
        Limit.AMPACITY: f"it carries {allowed} there, its current is {value}",
        Limit.FUSE: f"it stands a fuse of up to {allowed} there, its fuse is {value}",
        Limit.SHORT_TIME: f"cranking needs {value} of copper, it has {allowed}",
        Limit.MECHANICAL: f"it has {allowed}, the least the shop builds with is {value}",
    }[trial.limit]


def _too_much_drop(outcome: Outcome, code: str, trial: Trial, sized: str) -> Finding:
    name, value, allowed = outcome.job.circuit.name, value_text(trial), allowed_text(trial)
    message = f"{name}: {sized} it drops {value}, more than the {allowed} allowed"
    return finding(code, name, message, figure=value, limit=allowed, cure=_less_drop(outcome))


def _less_drop(outcome: Outcome) -> str:
    """What lessens the drop: a thicker wire, or something else where no wire helps."""
    size = size_for_drop(outcome)
    if size:
        return f"Fit {size}."
    fixed = outcome.job.unavoidable()
    if fixed.value_percent < fixed.limit_percent:
        return "Shorten the way, feed it from nearer, or split the load."
    taken = percent_text(fixed.value_percent)
    through_chassis = any(path.through_chassis for path in outcome.job.paths)
    first = "Wire its return" if through_chassis else "Feed it straight from the battery"
    return f"{first}, or allow more drop: joints, fuses and chassis alone take {taken}."
