"""Rules that look at a sized plan as a whole, once every circuit of it has its sizes and fuses."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from circuits.electrical.contact_checks import contact_findings
from circuits.electrical.laying_checks import LAYING_RULES
from circuits.electrical.old_for_new import OLD_FOR_NEW_RULES
from circuits.electrical.supply_checks import supply_findings
from circuits.findings import Finding
from circuits.harness.cavity_checks import cavity_findings
from circuits.harness.connector_checks import connector_findings
from circuits.harness.connectors import Fittings
from circuits.harness.lookalike_cures import look_alike_findings
from circuits.harness.mounting import mounting_findings
from circuits.harness.pulling import pulling_findings
from circuits.sized import SizedPlan


def panels_as_listed(sized: SizedPlan) -> Iterable[Finding]:
    """Findings of the panels whose positions the plan lists."""
    if not sized.wiring.plan.positions:
        return ()
    from circuits.harness.panel_layout import lay_out_panels  # its solver is slow to load and few plans need it

    return [finding for layout in lay_out_panels(sized) for finding in layout.findings]


def connectors_as_listed(sized: SizedPlan) -> Iterable[Finding]:
    """Findings of the connectors that the plan lists."""
    plan = sized.wiring.plan
    if not (plan.connectors or plan.cavities):
        return ()
    fittings = Fittings(plan)
    return (
        *connector_findings(plan, fittings),
        *cavity_findings(fittings, sized.wires),
        *look_alike_findings(sized.wiring),
    )


def can_be_built(sized: SizedPlan) -> Iterable[Finding]:
    """Findings of what is on before it is pulled, and of what hides what."""
    plan = sized.wiring.plan
    if not (plan.connectors or plan.mountings):
        return ()
    return (*pulling_findings(sized.wiring), *mounting_findings(plan))


PLAN_RULES: tuple[Callable[[SizedPlan], Iterable[Finding]], ...] = (
    panels_as_listed,
    *OLD_FOR_NEW_RULES,
    *LAYING_RULES,
    supply_findings,
    contact_findings,
    connectors_as_listed,
    can_be_built,
)
"""In the order in which their findings are told."""


def find_in_plan(sized: SizedPlan) -> tuple[Finding, ...]:
    """Every finding of the rules on whole plans.

    Parameters
    ----------
    sized : SizedPlan
    """
    return tuple(finding for rule in PLAN_RULES for finding in rule(sized))
