"""Rules for what can be wired but makes little sense as it is written."""

from __future__ import annotations

from collections.abc import Iterator

from circuits.figures import format_current
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.patterns.survey import Rule, Survey
from circuits.patterns.taps import reaches
from circuits.plan import Circuit, FuseFamily, Kind, Return

LEAST_RELAYED_A = 1.0
"""Load below which a relay saves nothing [A] (common practice, no source)."""

LARGEST_SENDER_A = 1.0
"""Current above which a load is hardly a sender [A] (common practice, no source)."""


def chassis_not_conductive(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A body that cannot conduct is no return."""
    has_return = circuit.kind is not Kind.FEEDER
    if has_return and circuit.return_by is Return.CHASSIS and not survey.plan.vehicle.chassis_return:
        message = f"{circuit.name} returns by the chassis, but this body cannot carry current: it is wired back"
        yield finding("chassis-not-conductive", circuit.name, message)


def feed_not_wired(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A circuit that is not wired feeds nothing."""
    feed = survey.by_name.get(circuit.feed) if circuit.is_fed_by_circuit else None
    if feed is not None and feed.name not in survey.sound and circuit.name in survey.sound:
        why = "cannot be wired" if feed.disposition.is_wired else f"is marked {feed.disposition.value}"
        yield finding("feed-not-wired", circuit.name, f"{circuit.name} is fed by {feed.name}, which {why}")


def feed_elsewhere(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A circuit fed by another starts where that one comes by."""
    feed = survey.by_name.get(circuit.feed) if circuit.is_fed_by_circuit else None
    if feed is not None and feed is not circuit and circuit.fed_at not in reaches(feed):
        message = f"{circuit.name} starts at {circuit.fed_at}, where {feed.name}, its feed, does not come by"
        cure = f"Start it at one of {', '.join(reaches(feed))}, or add a feeder from there."
        yield finding("feed-elsewhere", circuit.name, message, figure=circuit.fed_at, cure=cure)


def feeder_overloaded(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A feeder states at least what its continuous circuits draw together."""
    if circuit.kind is not Kind.FEEDER:
        return
    stated_a, connected_a = survey.load_a(circuit), survey.connected_a.get(circuit.name, 0.0)
    if connected_a > stated_a * (1 + 1e-9):
        figure, limit = format_current(connected_a), format_current(stated_a)
        message = f"{circuit.name} is stated at {limit}, but its continuous circuits draw {figure} if all are on"
        yield finding("feeder-overloaded", circuit.name, message, figure=figure, limit=limit)


def feeder_goes_nowhere(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A feeder leads to another place."""
    if circuit.kind is Kind.FEEDER and circuit.fed_at in circuit.load_at:
        message = f"{circuit.name} is a feeder from {circuit.fed_at} to {circuit.fed_at}"
        yield finding("feeder-goes-nowhere", circuit.name, message)


def relay_always_on(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A relay on the battery without a switch is always drawn in."""
    if circuit.relay_at and not circuit.switch_at and not circuit.switch and survey.bus_of(circuit) == "battery":
        message = f"{circuit.name}: its relay has no switch and hangs on the battery, so it never lets go"
        yield finding("relay-always-on", circuit.name, message)


def relay_needless(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A relay is for loads that a switch should not carry."""
    load_a = survey.load_a(circuit)
    if circuit.relay_at and circuit.kind is not Kind.SENDER and load_a < LEAST_RELAYED_A:
        figure, limit = format_current(load_a), format_current(LEAST_RELAYED_A)
        message = f"{circuit.name}: a relay for {figure} saves nothing that a switch could not carry"
        yield finding("relay-needless", circuit.name, message, figure=figure, limit=limit)


def relay_on_sender(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A contact in a sender's lead disturbs the reading."""
    if circuit.relay_at and circuit.kind is Kind.SENDER:
        yield finding("relay-on-sender", circuit.name, f"{circuit.name}: a sender is read through a relay")


def sender_current(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A sender draws little."""
    load_a = circuit.load_current_a(survey.plan.vehicle.system_v)
    if circuit.kind is Kind.SENDER and load_a > LARGEST_SENDER_A:
        figure, limit = format_current(load_a), format_current(LARGEST_SENDER_A)
        message = f"{circuit.name}: {figure} is much for a sender"
        yield finding("sender-current", circuit.name, message, figure=figure, limit=limit)


def sender_on_bus(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A sender that names its gauge's circuit as its feed shares that fuse."""
    is_forced = circuit.fuse_family is not None or circuit.fuse_a is not None
    if circuit.kind is Kind.SENDER and not circuit.is_fed_by_circuit and not is_forced:
        message = f"{circuit.name} is a sender on the {circuit.feed} bus: it gets a fuse of its own"
        yield finding("sender-on-bus", circuit.name, message)


def fuse_contradiction(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """A fuse with a rating has a family."""
    if circuit.fuse_a is not None and circuit.fuse_family is FuseFamily.NONE:
        message = f"{circuit.name}: fuse family none, yet rated {format_current(circuit.fuse_a)}: one is fitted"
        yield finding("fuse-contradiction", circuit.name, message, figure=format_current(circuit.fuse_a))


def load_place_twice(circuit: Circuit, survey: Survey) -> Iterator[Finding]:
    """The same place twice is two loads there."""
    for place in dict.fromkeys(place for place in circuit.load_at if circuit.load_at.count(place) > 1):
        count = circuit.load_at.count(place)
        message = f"{circuit.name}: {place} is named {count} times and counted as {count} loads"
        yield finding("load-place-twice", circuit.name, message, figure=str(count))


SENSE_RULES: tuple[Rule, ...] = (
    chassis_not_conductive,
    feed_not_wired,
    feed_elsewhere,
    feeder_overloaded,
    feeder_goes_nowhere,
    relay_always_on,
    relay_needless,
    relay_on_sender,
    sender_current,
    sender_on_bus,
    fuse_contradiction,
    load_place_twice,
)
