"""Making plans: from a starter, a sheet, another plan, or nothing."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.plan import Plan, Vehicle
from circuits.planning.models import PlanRow
from circuits.planning.store import create_plan, load_plan


@dataclass(frozen=True, slots=True)
class FromNothing:
    """An empty plan."""


@dataclass(frozen=True, slots=True)
class FromStarter:
    """One of the starter plans, by its key."""

    key: str


@dataclass(frozen=True, slots=True)
class FromPlan:
    """A copy of another plan, as that stands now."""

    plan_id: int


@dataclass(frozen=True, slots=True)
class FromSheet:
    """A circuit sheet, already read."""

    plan: Plan


Source = FromNothing | FromStarter | FromPlan | FromSheet


def new_plan(*, title: str, source: Source, by: str) -> PlanRow:
    """Store a new plan.

    Raises
    ------
    PlanRow.DoesNotExist
        The plan to copy is gone.
    LookupError
        No starter of that key.
    """
    return create_plan(title=title, plan=_plan_of(source), by=by)


def _plan_of(source: Source) -> Plan:
    if isinstance(source, FromSheet):
        return source.plan
    if isinstance(source, FromPlan):
        return load_plan(source.plan_id)
    if isinstance(source, FromStarter):
        from circuits.sheets.starters import load_starter

        return load_starter(source.key)
    return Plan(Vehicle(), (), (), ())
