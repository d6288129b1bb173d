"""Staff and stored plans for the tests of the plan's pages."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib.auth import get_user_model
from django.test import Client

from circuits.planning.models import CircuitRow, PlanRow
from circuits.planning.store import create_plan
from tests.circuits.cast import GAUGES, marsh_hare


def client_of(role: str) -> Client:
    """A browser in which a member of staff of that role is logged in."""
    user, _ = get_user_model().objects.get_or_create(username=role, defaults={"role": role})
    client = Client()
    client.force_login(user)
    return client


def marsh_plan() -> PlanRow:
    return create_plan(title="Marsh Hare", plan=marsh_hare(), by="owner")


def plan_of(count: int) -> PlanRow:
    circuits = tuple(replace(GAUGES, name=f"gauge {number}") for number in range(count))
    return create_plan(title=f"{count} circuits", plan=replace(marsh_hare(), circuits=circuits), by="owner")


def row_of(plan: PlanRow, name: str) -> CircuitRow:
    return CircuitRow.objects.get(plan=plan, name=name)


def form_of(client: Client, url: str) -> dict[str, Any]:
    """What the form of a page would send if nothing were changed."""
    form = client.get(url).context["form"]
    return {field.name: field.value() if field.value() is not None else "" for field in form}
