"""The plan page: who sees what, and what it costs."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.plan import Plan, Vehicle
from circuits.planning.store import create_plan
from tests.circuits.planning.cast import client_of, marsh_plan, plan_of, row_of

pytestmark = pytest.mark.django_db


def page(plan_id: int) -> str:
    return reverse("planning:plan", args=[plan_id])


@pytest.mark.parametrize("role", ["owner", "office", "technician"])
def test_staff_see_the_plan(role: str) -> None:
    plan = marsh_plan()
    answer = client_of(role).get(page(plan.pk))
    assert answer.status_code == 200
    assert "dip beam" in answer.content.decode()


def test_stranger_is_sent_to_log_in() -> None:
    answer = Client().get(page(marsh_plan().pk))
    assert answer.status_code == 302
    assert reverse("people:log_in") in answer["Location"]


def test_plan_that_does_not_exist_is_not_found() -> None:
    assert client_of("owner").get(page(999)).status_code == 404


def test_only_those_who_may_change_it_get_a_grid_that_can() -> None:
    plan = marsh_plan()
    assert client_of("office").get(page(plan.pk)).context["grid"]["canEdit"] is True
    assert client_of("technician").get(page(plan.pk)).context["grid"]["canEdit"] is False


def test_page_costs_the_same_queries_at_any_size() -> None:
    client = client_of("owner")
    counts = []
    for size in (1, 50, 120):
        plan = plan_of(size)
        with CaptureQueriesContext(connection) as queries:
            client.get(page(plan.pk))
        counts.append(len(queries))
    assert len(set(counts)) == 1, counts
    assert counts[0] <= 16


def test_each_circuit_stands_on_a_line_that_leads_to_it() -> None:
    plan = marsh_plan()
    html = client_of("technician").get(page(plan.pk)).content.decode()
    assert reverse("planning:circuit", args=[plan.pk, row_of(plan, "horn").pk]) in html


def test_findings_lead_to_their_row() -> None:
    plan = marsh_plan()
    row = row_of(plan, "horn")
    row.load_at = ["nowhere"]
    row.save()
    plan.stamp = "another"
    plan.save()
    html = client_of("owner").get(page(plan.pk)).content.decode()
    assert f'data-row="{row.pk}"' in html
    assert "nowhere" in html


def test_empty_plan_says_what_to_do_first() -> None:
    plan = create_plan(title="empty", plan=Plan(Vehicle(), (), (), ()), by="owner")
    assert "Bring in a circuit sheet" in client_of("owner").get(page(plan.pk)).content.decode()


def test_cautions_stand_on_every_page_with_electrical_figures() -> None:
    plan = marsh_plan()
    client = client_of("owner")
    for address in (
        page(plan.pk),
        reverse("planning:circuit", args=[plan.pk, row_of(plan, "horn").pk]),
        reverse("planning:loom", args=[plan.pk]),
        reverse("planning:bench"),
    ):
        assert "Isolate the battery" in client.get(address).content.decode(), address
