"""What the runs of the loom ask for: grommets, covering, clips, tape."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuits.plan import Covering
from circuits.sized import Bundle
from estimating.takeoff.needs import Need
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.scope import Scope
from estimating.takeoff.tables import ladder
from estimating.takeoff.wires import PACKAGE


def loom_needs(scope: Scope, rules: TakeoffRules) -> Iterator[Need]:
    """Needs of every run that at least one fresh wire lies in.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> scope = Scope.of(example_sized_plan())
    >>> for need in loom_needs(scope, TakeoffRules()):
    ...     print(need.kind, need.spec, need.quantity)
    clip 6 mm 7
    tape 19 mm 1.5
    covering split loom 6 mm 3.0
    grommet 25 mm opening 1
    clip 6 mm 3
    tape 19 mm 0.6
    """
    circuit_of = {wire.wire.name: wire.wire.circuit for wire in scope.fresh}
    for bundle in scope.sized.bundles:
        causes = tuple(dict.fromkeys(circuit_of[name] for name in bundle.wires if name in circuit_of))
        if causes:
            yield from _run_needs(bundle, causes, rules)


def _run_needs(bundle: Bundle, causes: tuple[str, ...], rules: TakeoffRules) -> Iterator[Need]:
    over_mm = max(bundle.diameter_mm, bundle.covering_mm)
    clip = ladder(PACKAGE, "clips.csv", "max_diameter_mm").row(over_mm)["clip"]
    clips = clips_for(bundle.length_m, rules.clip_spacing_m)
    yield Need(PartKind.CLIP, clip, clips, Unit.PIECE, causes, float(clip.removesuffix(" mm")))
    tape = f"{rules.tape_width_m * 1000:g} mm"
    if bundle.covering is Covering.TAPE:
        length_m = wrapped_tape_m(bundle.length_m, bundle.diameter_mm / 1000, rules)
        yield Need(PartKind.TAPE, tape, length_m, Unit.METRE, causes)
    else:
        yield Need(PartKind.TAPE, tape, bundle.length_m * rules.tape_m_per_loom_m, Unit.METRE, causes)
        if bundle.covering is not Covering.NONE:
            spec = f"{bundle.covering} {bundle.covering_mm:g} mm"
            yield Need(PartKind.COVERING, spec, bundle.length_m, Unit.METRE, causes, bundle.covering_mm)
    if bundle.opening_mm is not None:
        spec = f"{bundle.opening_mm:g} mm opening"
        yield Need(PartKind.GROMMET, spec, 1, Unit.PIECE, causes, bundle.opening_mm)


def clips_for(length_m: float, spacing_m: float) -> int:
    """Fewest clips that hold a run of ``length_m`` with no two further apart than ``spacing_m`` [m]; at least 1.

    Examples
    --------
    >>> clips_for(2.0, 0.45), clips_for(0.9, 0.45), clips_for(0.1, 0.45)
    (5, 2, 1)
    """
    return max(1, math.ceil(round(length_m / spacing_m, 9)))


def wrapped_tape_m(length_m: float, diameter_m: float, rules: TakeoffRules) -> float:
    """Tape to wrap a run in a helix [m].

    One turn advances ``width × (1 - overlap)`` and is as long as the hypotenuse of that and the circumference.

    Parameters
    ----------
    length_m, diameter_m : float
        Of the bundle [m].
    rules : TakeoffRules
        For width and overlap.

    Returns
    -------
    float
        Length of tape [m]; never less than the run.

    Examples
    --------
    >>> round(wrapped_tape_m(1.0, 0.010, TakeoffRules(tape_width_m=0.02, tape_overlap=0.5)), 3)
    3.297
    """
    advance_m = rules.tape_width_m * (1 - rules.tape_overlap)
    return length_m / advance_m * math.hypot(math.pi * diameter_m, advance_m)
