"""What is written from the panel page."""

from __future__ import annotations

from dataclasses import replace

from django.db import transaction

from circuits.harness.panel_layout import kept, lay_out_panels
from circuits.planning.models import PlanRow
from circuits.planning.store import load, replace_plan, size_loaded


@transaction.atomic
def keep_layout(*, plan_id: int, seen_version: int, by: str) -> PlanRow:
    """List the positions of every panel as they are laid out now, each circuit kept where it sits.

    Raises
    ------
    PlanRow.DoesNotExist
    StalePlanError
        The plan is no longer that of ``seen_version``.
    """
    loaded = load(plan_id)
    positions = kept(lay_out_panels(size_loaded(loaded)))
    plan = replace(loaded.plan, positions=positions)
    return replace_plan(plan_id=plan_id, plan=plan, expected_version=seen_version, by=by)
