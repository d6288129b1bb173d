"""Rules on what is put in place of the old: blade fuses for glass, LED for filament lamps.

They read words of the circuit (its name, load, switch and notes), since the plan says nowhere else what a lamp is for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from circuits.electrical.flashers import flasher
from circuits.electrical.lamps import filament_lamps, led_for
from circuits.electrical.old_fuses import NewForOld, new_for_old
from circuits.electrical.protection import TOLERANCE
from circuits.figures import format_current, format_power
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.plan import Circuit, Duty, FuseFamily, Kind
from circuits.rules import SizingRules
from circuits.sized import Fuse, Limit, SizedCircuit, SizedPlan

GLASS = "length-graded glass"
"""The kind that glass fuses of a plan are (SAE J554 ratings)."""

INDICATOR_W = 21.0
"""An indicator's filament lamp [W] (UN R37, P21W)."""

CHARGE_LAMP_A = 0.15
"""Least current of a charge lamp that wakes an alternator excited through it [A] (common practice, no source)."""

_FLASHING = re.compile(
    r"\b(turn[ -](signals?|lamps?|lights?)|(left|right) turn|flashers?|hazards?|blinkers?|direction lamps?)\b",
    re.IGNORECASE,
)
_INDICATOR = re.compile(r"\bindicators?\b", re.IGNORECASE)
_SIDE = re.compile(r"\b(left|right|turn|direction|front|rear)\b", re.IGNORECASE)
_ELECTRONIC = re.compile(r"\belectronic flasher\b", re.IGNORECASE)
_CHARGE = re.compile(r"\b(charge|charging|generator|alternator|exciter)\b", re.IGNORECASE)
_WATCHING = re.compile(r"\b(bulb|lamp)[ -](failure|check)\b", re.IGNORECASE)
_LAMP = re.compile(r"\b(?:[A-Z]{1,3}\d{1,2}[\w/]*|\d{4})\b", re.IGNORECASE)
_NOT_WATCHED = re.compile(r"\bnot watched\b", re.IGNORECASE)


def glass_to_blade(sized: SizedPlan) -> Iterator[Finding]:
    """glass-to-blade: the blade fuse that would take the place of a glass one, by when each opens."""
    for circuit in sized.circuits:
        fuse = circuit.fuse
        if fuse is None or fuse.family is not FuseFamily.GLASS or not circuit.wires:
            continue
        carried_a = next(p.load_a for p in sized.wiring.protections if p.name == fuse.name)
        new = new_for_old(GLASS, fuse.rating_a, carried_a, _share(circuit.circuit, sized.rules.sizing))
        if new.fit_a is None or new.carries_a is None:
            continue
        old = f"{format_current(fuse.rating_a)} glass fuse"
        yield finding(
            "glass-to-blade",
            circuit.circuit.name,
            f"{circuit.circuit.name}: in place of its {old}, {_reason(new, circuit, fuse)}",
            figure=old,
            limit=f"{format_current(new.fit_a)} blade fuse",
            cure=f"Use a {format_current(new.fit_a)} blade fuse, or keep the glass one.",
        )


def _share(circuit: Circuit, rules: SizingRules) -> float:
    return rules.continuous_share if circuit.duty is Duty.CONTINUOUS else rules.intermittent_share


def _reason(new: NewForOld, circuit: SizedCircuit, fuse: Fuse) -> str:
    fit_a = new.fit_a or 0.0
    fit = f"{format_current(fit_a)} blade fuse"
    if new.protects_as_well:
        return f"a {fit} opens no later at any overload"
    largest_a = min(
        (
            trial.allowed
            for wire in circuit.wires
            if wire.wire.protected_by == fuse.name
            for trial in wire.tried
            if trial.limit is Limit.FUSE and trial.size == wire.conductor.label
        ),
        default=0.0,
    )
    stand = "its wires stand it" if fit_a <= largest_a * (1 + TOLERANCE) else "it needs thicker wire"
    later = f"later between {format_current(new.later_from_a)} and {format_current(new.later_to_a)}"
    return f"the load needs a {fit}, which opens {later}: {stand}"


def led_behind_flasher(sized: SizedPlan) -> Iterator[Finding]:
    """flasher-led-load: LED lamps draw too little for a flasher that is timed by its lamps."""
    circuits = [one.circuit for one in sized.circuits if one.wires and _is_flashing(one.circuit)]
    if any(_ELECTRONIC.search(_words(circuit)) for circuit in circuits):
        return
    system_v, least_share = sized.wiring.plan.vehicle.system_v, flasher("thermal").least_share
    for circuit in circuits:
        if circuit.kind is not Kind.LED:
            continue
        lamps = len(circuit.load_at)
        load_w, made_for_w = circuit.load_current_a(system_v) * lamps * system_v, INDICATOR_W * lamps
        if load_w >= least_share * made_for_w:
            continue
        led, of = format_power(load_w), format_power(made_for_w)
        yield finding(
            "flasher-led-load",
            circuit.name,
            f"{circuit.name}: LED lamps of {led} in place of {of} leave an old flasher lit or slow, and one that"
            " watches its lamps flashes at twice the rate",
            figure=led,
            limit=f"{format_power(least_share * made_for_w)} or more",
            cure="Fit an electronic flasher that does not watch its lamps and note it: electronic flasher.",
        )


def led_charge_lamp(sized: SizedPlan) -> Iterator[Finding]:
    """charge-lamp-led: an LED in the charge warning lamp's place passes too little to wake the alternator."""
    system_v = sized.wiring.plan.vehicle.system_v
    for one in sized.circuits:
        circuit = one.circuit
        words = _words(circuit)
        if circuit.kind is not Kind.LED or not one.wires or not _CHARGE.search(words) or "lamp" not in words.casefold():
            continue
        load_a = circuit.load_current_a(system_v)
        if load_a >= CHARGE_LAMP_A:
            continue
        resistor_ohm = system_v / (CHARGE_LAMP_A - load_a)
        yield finding(
            "charge-lamp-led",
            circuit.name,
            f"{circuit.name}: an LED of {format_current(load_a)} may not wake an alternator that is excited through it",
            figure=format_current(load_a),
            limit=f"{format_current(CHARGE_LAMP_A)} or more",
            cure=f"Keep a filament lamp of 3 W, or put at most {resistor_ohm:.0f} ohm across the LED and state"
            " what both draw.",
        )


def led_watched(sized: SizedPlan) -> Iterator[Finding]:
    """lamp-check-led: a unit that watches for failed lamps takes an LED for one."""
    if not any(_WATCHING.search(_words(one.circuit)) for one in sized.circuits if one.wires):
        return
    for one in sized.circuits:
        circuit = one.circuit
        if circuit.kind is Kind.LED and one.wires and not _NOT_WATCHED.search(_words(circuit)):
            load = format_current(circuit.load_current_a(sized.wiring.plan.vehicle.system_v))
            yield finding(
                "lamp-check-led",
                circuit.name,
                f"{circuit.name}: a unit that watches for failed lamps may take an LED of {load} for one",
                figure=load,
                cure="Take these lamps off the unit's watch and note it: not watched.",
            )


def led_load_of_filament(sized: SizedPlan) -> Iterator[Finding]:
    """led-load-of-filament: an LED stated with the load of the filament lamp it replaces."""
    system_v = sized.wiring.plan.vehicle.system_v
    for one in sized.circuits:
        circuit = one.circuit
        if circuit.kind is not Kind.LED or not one.wires:
            continue
        load_w = circuit.load_current_a(system_v) * system_v
        named = {word.casefold() for word in _LAMP.findall(_words(circuit))}
        lamp = next((f for f in filament_lamps() if f.lamp.casefold() in named and abs(load_w - f.rated_w) < 0.5), None)
        if lamp is None:
            continue
        led_w = led_for(lamp).led_w
        yield finding(
            "led-load-of-filament",
            circuit.name,
            f"{circuit.name}: {format_power(load_w)} is what a filament {lamp.lamp} draws, not an LED",
            figure=format_power(load_w),
            limit=f"about {format_power(led_w)}",
            cure=f"State what the LED draws: about {format_power(led_w)}.",
        )


def _is_flashing(circuit: Circuit) -> bool:
    """An indicator alone may be a telltale; one that has a side is not."""
    words = f"{circuit.name} {circuit.load} {circuit.switch}"
    return bool(_FLASHING.search(words) or (_INDICATOR.search(words) and _SIDE.search(words)))


def _words(circuit: Circuit) -> str:
    return f"{circuit.name} {circuit.load} {circuit.switch} {circuit.notes}"


OLD_FOR_NEW_RULES = (glass_to_blade, led_behind_flasher, led_charge_lamp, led_watched, led_load_of_filament)
