"""The check sheet of a vehicle, worked out from its sized plan: what to measure, in which order, what to expect.

Before power: eye, ohmmeter, and a source that cannot burn anything. After the battery is on: currents and drops.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from circuits.network.expected import Expected
from circuits.network.proof_values import ProofValues
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
    least_expected, most_expected : float or None
        Between which a sound vehicle reads; a reading beyond them but within the limits is worth a look.
    basis : str
        How the expected value comes about, or why it cannot be told.
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
    least_expected: float | None = None
    most_expected: float | None = None
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
    values = ProofValues(sized)
    found = (*_looks(), *_grounds(sized, limits), *_outputs(values, limits), *_whole(values, limits))
    return (*found, *_powered(values, limits), *_on(values, limits), *_drops(values, limits), *_charging(sized, limits))


def _looks() -> Iterator[Check]:
    for key, what in LOOKS:
        yield Check(f"look {key}", Group.LOOK, what, source="common practice, no source", endangers=True)


def _limited(key: str, group: Group, what: str, limit: Limit, how: str = "", scale: float = 1.0) -> Check:
    low, high = (side * scale if side is not None else None for side in (limit.low, limit.high))
    return Check(key, group, what, how, limit.unit, low=low, high=high, source=limit.source)


def _expecting(check: Check, expected: Expected) -> Check:
    return replace(
        check,
        expected=expected.value,
        least_expected=expected.low,
        most_expected=expected.high,
        basis=expected.basis,
    )


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
        basis = "chassis resistance of the plan" if expected is not None else ""
        yield replace(check, expected=expected, basis=basis, circuits=tuple(circuits), endangers=True)


def _outputs(values: ProofValues, limits: Limits) -> Iterator[Check]:
    how = "Battery off, fuse out, every switch off. From the load side of the fuse to ground."
    for one in output_checks(values, limits):
        name = one.circuit.circuit.name
        check = Check(
            f"output {one.fuse}", Group.OUTPUTS, f"Output of fuse {one.fuse}", f"{how} {one.how}".strip(), "ohm",
            low=one.low_ohm, source=one.source, circuits=(name,), endangers=True,
        )  # fmt: skip
        yield _expecting(check, one.expected)


def _whole(values: ProofValues, limits: Limits) -> Iterator[Check]:
    vehicle, key_off = values.plan.wiring.plan.vehicle, limits["key_off"]
    allowed_a = key_off.high or 0.05
    whole = Check(
        "whole", Group.WHOLE, "Positive battery lead to negative battery lead",
        "Battery off, fuses in, every switch off, doors shut.", "ohm",
        low=vehicle.system_v / allowed_a, source=f"system voltage over the key-off limit; that: {key_off.source}",
        endangers=True,
    )  # fmt: skip
    yield _expecting(whole, values.ohms.whole())
    how = "Before it is connected, an hour after charging."
    scale = vehicle.system_v / 12
    rest = _limited("rest", Group.WHOLE, "Battery at its posts", limits["battery_rest"], how, scale)
    yield replace(rest, endangers=True)


def _powered(values: ProofValues, limits: Limits) -> Iterator[Check]:
    how = "Source at system voltage, limited to 2 A, in place of the battery. Everything off."
    first = _limited("first power", Group.FIRST_POWER, "Current from the source", limits["first_power"], how)
    key_off = values.key_off()
    yield replace(_expecting(first, key_off), endangers=True)
    how = "Everything off, key out, doors shut, after the units have gone to sleep."
    yield _expecting(_limited("key off", Group.KEY_OFF, "Current from the battery", limits["key_off"], how), key_off)


def _loads(sized: SizedPlan) -> Iterator[SizedCircuit]:
    """Circuits that drive something one can switch on."""
    for one in sized.circuits:
        if one.wires and one.circuit.kind not in (Kind.FEEDER, Kind.SENDER):
            yield one


def _on(values: ProofValues, limits: Limits) -> Iterator[Check]:
    share = limits["current_share"]
    for one in _loads(values.plan):
        circuit, expected = one.circuit, one.current_a
        high = expected * share.high if share.high is not None else None
        if one.fuse is not None:
            high = one.fuse.rating_a if high is None else min(high, one.fuse.rating_a)
        low = expected * share.low if share.low is not None else None
        how = f"Switch: {circuit.switch}." if circuit.switch else ""
        if circuit.duty is Duty.INTERMITTENT:
            how = f"{how} Read while it runs, not as it starts.".strip()
        check = Check(
            f"on {circuit.name}", Group.ON, f"{circuit.name} on", how, "A", low=low, high=high,
            source=f"share of the plan's current: {share.source}; never above its fuse",
            circuits=(circuit.name,), endangers=circuit.safety,
        )  # fmt: skip
        found = values.amps(circuit.name)
        yield _expecting(check, found if found.value is not None else replace(found, value=expected))


def _drops(values: ProofValues, limits: Limits) -> Iterator[Check]:
    sized = values.plan
    system_v = sized.wiring.plan.vehicle.system_v
    for one in _loads(sized):
        if one.drop_v >= LEAST_SHOWN_DROP_V and one.circuit.name != "":
            name = one.circuit.name
            check = Check(
                f"drop {name}", Group.DROPS, f"{name}: supply to load, and load to negative, added",
                "Everything of this circuit on.", "V", high=one.drop_limit_percent / 100 * system_v,
                source="drop limit of the plan", circuits=(name,), endangers=one.circuit.safety,
            )  # fmt: skip
            yield _expecting(check, values.drop(name))
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
