"""Applies what a finding's cure says to a plan, as a person would who reads it."""

from __future__ import annotations

import re
from dataclasses import replace

from circuits.findings import Finding
from circuits.plan import FuseFamily, Plan

FIT = re.compile(r"[Ff]it ([\d./]+ (?:AWG|mm²))(?: \(not in stock\))?(?: for ([^.]+))?")
USE = re.compile(r"[Uu]se an? ([\d.]+) A ([a-z -]*?)\s*fuse(?: for ([^,.]+))?")


def fitted(plan: Plan, finding: Finding) -> Plan | None:
    """The plan with the size that the cure names; None where it names none."""
    found = FIT.search(finding.cure)
    if not found:
        return None
    names = found[2].split(" and ") if found[2] else [finding.circuit]
    return _with(plan, names, size=found[1])


def refused(plan: Plan, finding: Finding) -> Plan | None:
    """The plan with the fuse that the cure names; None where it names none."""
    found = USE.search(finding.cure)
    if not found:
        return None
    changed: dict[str, object] = {"fuse_a": float(found[1])}
    if found[2]:
        changed["fuse_family"] = FuseFamily(found[2])
    return _with(plan, [found[3] or finding.circuit], **changed)


def cured(plan: Plan, finding: Finding) -> list[Plan]:
    """A plan for each way that the cure offers."""
    return [one for one in (fitted(plan, finding), refused(plan, finding)) if one]


def _with(plan: Plan, names: list[str], **changed: object) -> Plan:
    assert set(names) <= {circuit.name for circuit in plan.circuits}, names
    return replace(
        plan,
        circuits=tuple(
            replace(circuit, **changed) if circuit.name in names else circuit  # type: ignore[arg-type]
            for circuit in plan.circuits
        ),
    )
