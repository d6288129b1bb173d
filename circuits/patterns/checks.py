"""Every rule put to every circuit before a wire is drawn: which circuits can be wired, and what was found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.harness.routes import Router, unknown_zones
from circuits.patterns.routing_rules import ROUTING_RULES
from circuits.patterns.sense_rules import SENSE_RULES
from circuits.patterns.survey import Survey, survey_of, with_sound
from circuits.plan import Plan


@dataclass(frozen=True, slots=True)
class Checked:
    """The survey, which knows the circuits that can be wired, and everything found, in plan order."""

    survey: Survey
    findings: tuple[Finding, ...]


def check_plan(plan: Plan, router: Router) -> Checked:
    """Check the runs, and every circuit that is to be wired. A routing finding leaves a circuit without wires."""
    survey = survey_of(plan, router)
    wired = [circuit for circuit in plan.circuits if circuit.disposition.is_wired]
    routing = {circuit.name: [found for rule in ROUTING_RULES for found in rule(circuit, survey)] for circuit in wired}
    survey = with_sound(survey, frozenset(name for name, found in routing.items() if not found))
    findings = list(_unknown_zone(plan))
    for circuit in wired:
        findings += routing[circuit.name]
        findings += (found for rule in SENSE_RULES for found in rule(circuit, survey))
    return Checked(survey, tuple(findings))


def _unknown_zone(plan: Plan) -> Iterator[Finding]:
    for zone in unknown_zones(plan):
        message = f"zone {zone} has no temperature: its runs are taken at the hottest zone known"
        yield finding("unknown-zone", "", message, figure=zone)
