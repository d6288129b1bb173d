"""Expansion of a plan: every circuit that makes sense becomes wires, protections and devices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from circuits.harness.bundles import bundle_counts, loads_bundle
from circuits.harness.connectors import Fittings
from circuits.harness.routes import Router
from circuits.patterns.book import DeviceBook
from circuits.patterns.checks import check_plan
from circuits.patterns.colouring import colour_wires
from circuits.patterns.draft import Draft, Site
from circuits.patterns.fitted import Fitter
from circuits.patterns.protected import fuse_names
from circuits.patterns.registry import draw
from circuits.patterns.taps import Tapped, taps
from circuits.plan import Circuit, Plan
from circuits.rules import BuildRules
from circuits.wiring import Wire, Wiring


def expand(plan: Plan, rules: BuildRules | None = None) -> Wiring:
    """Expand each circuit of a plan into wires, protections, devices and current paths.

    Parameters
    ----------
    plan : Plan
    rules : BuildRules, optional
        The shop's ways; the defaults where not given.

    Returns
    -------
    Wiring
        Circuits to be removed or capped off have no wires. A circuit that cannot be routed, or whose
        feed is unknown, has none either, and a finding of severity error; the others go on.
        Kept and repaired circuits have wires that exist already.

    Examples
    --------
    >>> from circuits.plan import Circuit, Kind, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> wiring = expand(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,)))
    >>> [(wire.name, wire.role.value, wire.colour, round(wire.length_m, 2)) for wire in wiring.wires]
    [('horn/1', 'load', 'RD', 2.3), ('horn/2', 'return', 'BK', 0.41)]
    """
    rules = rules or BuildRules()
    router = Router(plan, rules.routes)
    checked = check_plan(plan, router)
    sound = {name: circuit for circuit in plan.circuits if (name := circuit.name) in checked.survey.sound}
    site = Site(plan, checked.survey.by_name.keys(), rules, router, DeviceBook(), fuse_names(sound))
    drafts = _draw_all(site, sound)
    coloured = colour_wires(checked.survey, [wire for draft in drafts for wire in draft.wires], rules.colours)
    return Wiring(
        plan=plan,
        wires=with_bundles(coloured.wires, len(plan.runs)),
        protections=tuple(fuse for draft in drafts for fuse in draft.protections),
        paths=tuple(path for draft in drafts for path in draft.paths()),
        devices=site.book.devices(),
        findings=(*checked.findings, *coloured.findings),
    )


def _draw_all(site: Site, sound: dict[str, Circuit]) -> list[Draft]:
    system_v = site.plan.vehicle.system_v
    tapped, fitter = taps(sound, system_v), Fitter(Fittings(site.plan))
    drafts = []
    for circuit in sound.values():
        untapped = Tapped((0.0,) * len(circuit.load_at))
        draft = Draft(site, circuit, circuit.load_current_a(system_v), tapped.get(circuit.name, untapped))
        draw(draft)
        fitter.fit(draft)
        drafts.append(draft)
    return drafts


def with_bundles(wires: Sequence[Wire], runs: int) -> tuple[Wire, ...]:
    """The wires, each with the number of loaded wires in the fullest run it crosses, itself included.

    Parameters
    ----------
    wires : sequence of Wire
        All of a plan.
    runs : int
        Number of runs of the plan.
    """
    counts = bundle_counts(wires, runs)
    return tuple(
        replace(wire, bundle=max(counts[run] for run in wire.path.runs) + (not loads_bundle(wire)))
        if wire.path.runs
        else wire
        for wire in wires
    )
