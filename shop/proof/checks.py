"""The check sheet of a vehicle, worked out from its sized plan: what to measure, in which order, what to expect.

Before power: eye, ohmmeter, and a source that cannot burn anything. After the battery is on: currents and drops.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from circuits.plan import Duty, Kind
from circuits.sized import SizedCircuit, SizedPlan
from circuits.wiring import Lands
from shop.proof.limits import Limit, Limits
from shop.proof.outputs import output_checks


class Group(StrEnum):
    """Groups of checks, in the order they are made. ``value`` is the heading."""

    LOOK = "Look and feel"
    GROUNDS = "Ground points to battery negative"
    OUTPUTS = "Fused outputs to ground"
    WHOLE = "Battery leads, battery off"
    FIRST_POWER = "First power, through a limited source"
    KEY_OFF = "Key-off draw"
    ON = "Each circuit on, one at a time"
    DROPS = "Voltage drops under load"
    CHARGING = "Charging"


BEFORE_POWER = (Group.LOOK, Group.GROUNDS, Group.OUTPUTS, Group.WHOLE)
"""All of these pass before the limited source is connected."""

BEFORE_BATTERY = (*BEFORE_POWER, Group.FIRST_POWER)
"""All of these pass before the battery is connected."""

LEAST_SHOWN_DROP_V = 0.02
"""Circuits that drop less are not measured: an ordinary meter shows nothing (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the check sheet.

    Parameters
    ----------
    key : str
        Stable name: a sheet made anew finds its readings again.
    group : Group
    what : str
        Where the meter goes.
    how : str
        Switch states and what to mind; may be empty.
    unit : str
        ``ohm``, ``A`` or ``V``; empty where it is looked at, not measured.
    expected : float or None
        What the plan lets expect, in ``unit``.
    basis : str
        How the expected value comes about.
    low, high : float or None
        Between which the reading must lie.
    source : str
        Of the limit.
    circuits : tuple of str
    endangers : bool
        True where a failure endangers people.
    """

    key: str
    group: Group
    what: str
    how: str = ""
    unit: str = ""
    expected: float | None = None
    basis: str = ""
    low: float | None = None
    high: float | None = None
    source: str = ""
    circuits: tuple[str, ...] = ()
    endangers: bool = False

    @property
    def is_before_battery(self) -> bool:
        """True where it must pass before the battery is connected."""
        return self.group in BEFORE_BATTERY


LOOKS = (
    ("sweep", "No loose end, tool or strand that can touch bare metal, end to end"),
    ("routes", "Loom clear of heat, moving parts and sharp edges; a grommet in every opening"),
    ("fuses", "Every fuse in its place at the rating of the plan, none larger; spare leads capped"),
    ("polarity", "Battery leads: positive and negative marked and not interchanged, terminals covered"),
)


def check_sheet(sized: SizedPlan, limits: Limits) -> tuple[Check, ...]:
    """Every check of a vehicle, in the order it is made; none for a plan without wires.

    Parameters
    ----------
    sized : SizedPlan
    limits : Limits

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> [check.what for check in check_sheet(example_sized_plan(), Limits.of()) if check.group is Group.ON]
    ['tail lamps on']
    """
    if not sized.wiring.wires:
        return ()
    found = (*_looks(), *_grounds(sized, limits), *_outputs(sized, limits), *_whole(sized, limits))
    return (*found, *_powered(sized, limits), *_on(sized, limits), *_drops(sized, limits), *_charging(sized, limits))


def _looks() -> Iterator[Check]:
    for key, what in LOOKS:
        yield Check(f"look {key}", Group.LOOK, what, source="common practice, no source", endangers=True)


def _limited(key: str, group: Group, what: str, limit: Limit, how: str = "", scale: float = 1.0) -> Check:
    low, high = (side * scale if side is not None else None for side in (limit.low, limit.high))
    return Check(key, group, what, how, limit.unit, low=low, high=high, source=limit.source)


def _with(check: Check, expected: float | None, basis: str, circuits: tuple[str, ...] = ()) -> Check:
    return Check(
        check.key, check.group, check.what, check.how, check.unit, expected, basis,
        check.low, check.high, check.source, circuits, check.is_before_battery,
    )  # fmt: skip


def _grounds(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    vehicle = sized.wiring.plan.vehicle
    by_place: dict[str, dict[str, None]] = {}
    for device in sized.wiring.devices:
        if device.lands is Lands.GROUND:
            by_place.setdefault(device.place, {}).update(dict.fromkeys(device.circuits))
    how = "Battery off. Take the resistance of the meter's own leads off the reading."
    expected = vehicle.chassis_resistance_ohm if vehicle.chassis_return else None
    for place, circuits in by_place.items():
        check = _limited(f"ground {place}", Group.GROUNDS, f"Ground point {place}", limits["ground_point"], how)
        yield _with(check, expected, "chassis resistance of the plan" if expected is not None else "", tuple(circuits))


def _outputs(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    how = "Battery off, fuse out, every switch off. From the load side of the fuse to ground."
    for one in output_checks(sized, limits):
        name = one.circuit.circuit.name
        yield Check(
            f"output {one.fuse}", Group.OUTPUTS, f"Output of fuse {one.fuse}", how, "ohm",
            one.expected_ohm, one.basis, one.low_ohm, None, one.source, (name,), True,
        )  # fmt: skip


def _whole(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    vehicle, key_off = sized.wiring.plan.vehicle, limits["key_off"]
    allowed_a = key_off.high or 0.05
    yield Check(
        "whole", Group.WHOLE, "Positive battery lead to negative battery lead",
        "Battery off, fuses in, every switch off, doors shut.", "ohm",
        low=vehicle.system_v / allowed_a, source=f"system voltage over the key-off limit; that: {key_off.source}",
        endangers=True,
    )  # fmt: skip
    how = "Before it is connected, an hour after charging."
    scale = vehicle.system_v / 12
    yield _with(_limited("rest", Group.WHOLE, "Battery at its posts", limits["battery_rest"], how, scale), None, "")


def _powered(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    how = "Source at system voltage, limited to 2 A, in place of the battery. Everything off."
    yield _with(
        _limited("first power", Group.FIRST_POWER, "Current from the source", limits["first_power"], how), 0, ""
    )
    how = "Everything off, key out, doors shut, after the units have gone to sleep."
    yield _limited("key off", Group.KEY_OFF, "Current from the battery", limits["key_off"], how)


def _loads(sized: SizedPlan) -> Iterator[SizedCircuit]:
    """Circuits that drive something one can switch on."""
    for one in sized.circuits:
        if one.wires and one.circuit.kind not in (Kind.FEEDER, Kind.SENDER):
            yield one


def _on(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    share = limits["current_share"]
    for one in _loads(sized):
        circuit, expected = one.circuit, one.current_a
        high = expected * share.high if share.high is not None else None
        if one.fuse is not None:
            high = one.fuse.rating_a if high is None else min(high, one.fuse.rating_a)
        low = expected * share.low if share.low is not None else None
        how = f"Switch: {circuit.switch}." if circuit.switch else ""
        if circuit.duty is Duty.INTERMITTENT:
            how = f"{how} Read while it runs, not as it starts.".strip()
        yield Check(
            f"on {circuit.name}", Group.ON, f"{circuit.name} on", how, "A", expected, "load of the plan",
            low, high, f"share of the plan's current: {share.source}; never above its fuse", (circuit.name,),
            circuit.safety,
        )  # fmt: skip


def _drops(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    system_v = sized.wiring.plan.vehicle.system_v
    for one in _loads(sized):
        if one.drop_v >= LEAST_SHOWN_DROP_V and one.circuit.name != "":
            name = one.circuit.name
            yield Check(
                f"drop {name}", Group.DROPS, f"{name}: supply to load, and load to negative, added",
                "Everything of this circuit on.", "V", one.drop_v, "sized plan, at working temperature",
                None, one.drop_limit_percent / 100 * system_v, "drop limit of the plan", (name,), one.circuit.safety,
            )  # fmt: skip
    yield _limited("drop body", Group.DROPS, "Battery negative post to body", limits["body_ground_drop"], "Loads on.")
    names = {one.circuit.name for one in sized.circuits if "starter" in one.circuit.load.casefold()}
    if names:
        how = "While cranking."
        yield _limited(
            "drop starter +", Group.DROPS, "Battery positive to starter", limits["starter_positive_drop"], how
        )
        yield _limited("drop starter -", Group.DROPS, "Starter case to negative", limits["starter_ground_drop"], how)


def _charging(sized: SizedPlan, limits: Limits) -> Iterator[Check]:
    vehicle = sized.wiring.plan.vehicle
    how = "Fast idle, battery charged, lamps on."
    scale = vehicle.system_v / 12
    yield _limited("charging", Group.CHARGING, "Battery at its posts, engine running", limits["charging"], how, scale)
    if vehicle.alternator_a is not None:
        how = "About 30 A flowing."
        yield _limited(
            "charge line", Group.CHARGING, "Alternator output to battery positive", limits["charge_line_drop"], how
        )
