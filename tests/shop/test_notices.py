"""Sheets of the plan say which work the customer has not accepted, without knowing of jobs themselves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.urls import reverse

from circuits.planning.models import CircuitRow
from circuits.planning.store import replace_plan
from tests.shop.floor import cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def changed():
    """A booked job with one circuit more than the customer has accepted."""
    job = cast.booked_job()
    lamp = replace(cast.TAIL, name="boot lamp", section="boot")
    plan = replace(cast.PLAN, circuits=(*cast.PLAN.circuits, lamp))
    replace_plan(plan_id=job.plan_id, plan=plan, expected_version=1, by="Otto")
    return job


def pages(job):
    circuit = CircuitRow.objects.filter(plan=job.plan_id)[0]
    return (
        reverse("planning:plan", args=[job.plan_id]),
        reverse("planning:loom", args=[job.plan_id]),
        reverse("planning:circuit", args=[job.plan_id, circuit.pk]),
    )


@pytest.mark.parametrize(("role", "is_linked"), [("office", True), ("technician", False)])
def test_plan_and_circuit_say_what_nobody_accepted_and_link_it_for_those_who_see_money(
    client, changed, role, is_linked
):
    client.force_login(cast.member("reader", role))
    for page in pages(changed):
        said = client.get(page).content.decode()
        assert "Not accepted by the customer:</strong> boot lamp." in said
        assert (reverse("billing:change", args=[changed.pk]) in said) is is_linked


def test_nothing_is_said_of_an_unchanged_plan_or_before_a_booking(client, db):
    client.force_login(cast.member("reader"))
    for job in (cast.booked_job(), cast.open_a_job("Second")):
        assert all("Not accepted" not in client.get(page).content.decode() for page in pages(job))
