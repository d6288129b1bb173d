"""The take-off: every part a sized plan needs, counted exactly, with the circuits that caused it."""

from __future__ import annotations

from circuits.sized import SizedPlan
from estimating.takeoff.connectors import connector_needs
from estimating.takeoff.joints import joint_needs
from estimating.takeoff.loom import loom_needs
from estimating.takeoff.needs import Need, gather
from estimating.takeoff.panel import panel_needs
from estimating.takeoff.parts import Part
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.scope import Scope
from estimating.takeoff.wires import wire_needs

DEFAULT_RULES = TakeoffRules()


def needs_of(sized: SizedPlan, rules: TakeoffRules = DEFAULT_RULES) -> tuple[Need, ...]:
    """Every single need of a sized plan, before needs of the same part are added together.

    Labour counts its work elements from the same needs, so that parts and hours cannot disagree.

    Parameters
    ----------
    sized : SizedPlan
    rules : TakeoffRules

    Returns
    -------
    tuple of Need

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> sorted({need.kind.value for need in needs_of(example_sized_plan())})[:4]
    ['clip', 'covering', 'fuse', 'grommet']
    """
    scope = Scope.of(sized)
    return (
        *wire_needs(scope, rules),
        *panel_needs(scope, rules),
        *connector_needs(scope),
        *joint_needs(scope, rules),
        *loom_needs(scope, rules),
    )


def take_off(sized: SizedPlan, rules: TakeoffRules = DEFAULT_RULES) -> tuple[Part, ...]:
    """Parts of a sized plan.

    Wire of one size and colour is the exact sum of the cut lengths of the wires that are not already in the
    vehicle; packs, rolls and offcuts are a matter of buying.

    Parameters
    ----------
    sized : SizedPlan
    rules : TakeoffRules

    Returns
    -------
    tuple of Part
        By kind, then small to large.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> wire = take_off(example_sized_plan())[1]
    >>> wire.spec, wire.quantity, wire.circuits
    ('16 AWG BN', 5.01, ('tail lamps',))
    """
    return parts_of(needs_of(sized, rules), sized)


def parts_of(needs: tuple[Need, ...], sized: SizedPlan) -> tuple[Part, ...]:
    """Parts from needs already counted: ``take_off`` in two steps.

    Examples
    --------
    >>> from estimating.takeoff.example import example_sized_plan
    >>> sized = example_sized_plan()
    >>> parts_of(needs_of(sized), sized) == take_off(sized)
    True
    """
    return gather(needs, [circuit.name for circuit in sized.wiring.plan.circuits])
