"""Bundles: what lies together in each run, how thick it is, what covers it and whether it passes its opening."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from circuits.figures import format_diameter
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.harness.coverings import COVERING_SIZES, covering_mm
from circuits.harness.diameter import bundle_diameter_mm
from circuits.harness.grommets import grommet_for
from circuits.harness.weight import covered_mm
from circuits.plan import Covering, Plan, Run
from circuits.sized import Bundle, SizedWire
from circuits.wiring import Wire

LEAST_LOADING_A = 0.5
"""Wires below this current do not warm their bundle enough to count [A] (common practice, no source)."""

OPENING_FILL = 0.8
"""Greatest bundle as a share of the opening; the rest is for grommet and pulling (common practice, no source)."""


def loads_bundle(wire: Wire) -> bool:
    """True where the wire's own heat counts in its bundle: nothing below 0.5 A does.

    So the wires of senders and relay coils do not count, nor those of a single small lamp.
    """
    return wire.current_a >= LEAST_LOADING_A


def bundle_counts(wires: Iterable[Wire], runs: int) -> tuple[int, ...]:
    """Number of loaded wires in each run, by its index in the plan.

    Parameters
    ----------
    wires : iterable of Wire
    runs : int
        Number of runs of the plan.

    Examples
    --------
    >>> from circuits.patterns import expand
    >>> from circuits.plan import Circuit, Kind, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("nose",), Kind.COIL, load_a=5.0, switch_at="dash")
    >>> runs = (Run("panel", "dash", 0.5), Run("panel", "nose", 2.0))
    >>> bundle_counts(expand(Plan(Vehicle(), (), runs, (horn,))).wires, len(runs))
    (2, 1)
    """
    counts = [0] * runs
    for wire in wires:
        if loads_bundle(wire):
            for run in wire.path.runs:
                counts[run] += 1
    return tuple(counts)


def bundles(plan: Plan, wires: Iterable[SizedWire]) -> tuple[Bundle, ...]:
    """What lies in each run of the plan, in plan order; a run without wires has diameter 0.

    Parameters
    ----------
    plan : Plan
        Of which the wires were expanded.
    wires : iterable of SizedWire
        All wires, those that stay in the vehicle too.
    """
    lying: list[list[SizedWire]] = [[] for _ in plan.runs]
    for wire in wires:
        for run in wire.wire.path.runs:
            lying[run].append(wire)
    return tuple(_bundle(plan, run, here) for run, here in enumerate(lying))


def _bundle(plan: Plan, index: int, wires: list[SizedWire]) -> Bundle:
    run = plan.runs[index]
    diameter_mm = bundle_diameter_mm([wire.conductor.outer_mm for wire in wires])
    size_mm = covering_mm(run.covering, diameter_mm)
    return Bundle(
        run=index,
        wires=tuple(wire.wire.name for wire in wires),
        diameter_mm=diameter_mm,
        covering=run.covering,
        covering_mm=COVERING_SIZES[run.covering][-1].nominal_mm if size_mm is None else size_mm,
        length_m=run.length_m,
        opening_mm=run.opening_mm,
    )


def bundle_findings(plan: Plan, found: Iterable[Bundle]) -> tuple[Finding, ...]:
    """What does not fit in or around a run, and what rubs there.

    opening-too-small, opening-tight, covering-too-small, covering-ends-at-opening, moving-run-bare.

    Parameters
    ----------
    plan : Plan
    found : iterable of Bundle
        As ``bundles`` gives them for that plan.
    """
    return tuple(
        finding
        for bundle in found
        for rule in (_opening, _covering, _covered_through, _bare)
        for finding in rule(bundle, plan.runs[bundle.run])
    )


def _opening(bundle: Bundle, run: Run) -> Iterator[Finding]:
    if bundle.opening_mm is None or bundle.diameter_mm <= OPENING_FILL * bundle.opening_mm:
        return
    over, through = format_diameter(bundle.diameter_mm), format_diameter(bundle.opening_mm)
    needed = format_diameter(bundle.diameter_mm / OPENING_FILL)
    cure = f"Open it to {needed}, or lead some circuits through another opening."
    if bundle.diameter_mm > bundle.opening_mm:
        message = f"run {run.name}: a bundle of {over} does not pass an opening of {through}"
        yield finding("opening-too-small", "", message, figure=over, limit=through, cure=cure)
    else:
        message = f"run {run.name}: a bundle of {over} is tight in an opening of {through}"
        limit = f"{format_diameter(OPENING_FILL * bundle.opening_mm)} ({OPENING_FILL:.0%} of the opening)"
        yield finding("opening-tight", "", message, figure=over, limit=limit, cure=cure)


def _covering(bundle: Bundle, run: Run) -> Iterator[Finding]:
    if covering_mm(bundle.covering, bundle.diameter_mm) is None:
        over = format_diameter(bundle.diameter_mm)
        largest = format_diameter(COVERING_SIZES[bundle.covering][-1].largest_bundle_mm)
        message = f"run {run.name}: no {bundle.covering} goes over a bundle of {over}"
        yield finding("covering-too-small", "", message, figure=over, limit=largest)


def _covered_through(bundle: Bundle, run: Run) -> Iterator[Finding]:
    over_mm = covered_mm(bundle.covering, bundle.diameter_mm, bundle.covering_mm)
    if bundle.opening_mm is None or bundle.covering is Covering.NONE:
        return
    passes_mm = OPENING_FILL * bundle.opening_mm
    if bundle.diameter_mm > passes_mm or over_mm <= passes_mm:
        return
    grommet = grommet_for(over_mm / OPENING_FILL, over_mm)
    opened = f"Open it to {format_diameter(grommet.hole_mm)} with a grommet, or end" if grommet else "End"
    yield finding(
        "covering-ends-at-opening",
        "",
        f"run {run.name}: with its {bundle.covering} a bundle of {format_diameter(over_mm)} does not pass an opening of"
        f" {format_diameter(bundle.opening_mm)} and its grommet; the wires alone do",
        figure=format_diameter(over_mm),
        limit=f"{format_diameter(passes_mm)} ({OPENING_FILL:.0%} of the opening)",
        cure=f"{opened} the {bundle.covering} on both sides of it.",
    )


def _bare(bundle: Bundle, run: Run) -> Iterator[Finding]:
    if run.moves and bundle.wires and bundle.covering in (Covering.NONE, Covering.TAPE):
        worn = "no covering" if bundle.covering is Covering.NONE else "tape, which creeps and stiffens"
        message = f"run {run.name}: it bends in use and has {worn}"
        yield finding("moving-run-bare", "", message, figure=str(bundle.covering), cure="Cover it with braid.")
