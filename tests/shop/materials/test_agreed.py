"""What is bought is what the customer agreed to: accepted revision and accepted changes, nothing drawn since."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from circuits.planning.models import PlanRow
from circuits.planning.store import load_plan, replace_plan
from estimating.purchasing.week_store import demand_of
from shop.billing.change_services import answer_change, send_change
from shop.jobs.models import Job, Stage
from shop.materials.agreed import not_agreed
from shop.materials.work import ahead
from shop.people.models import Role, User
from tests.shop.materials.test_pages import agree, opened

pytestmark = pytest.mark.django_db


@pytest.fixture
def booked(db: object) -> Job:
    job = opened("Rewire", stage=Stage.QUOTED)
    agree(job)
    return Job.objects.get(pk=job.pk)


def draw_another(job: Job) -> str:
    """A second circuit like the first, under another name."""
    plan = load_plan(job.plan_id)
    added = replace(plan.circuits[0], name="second fan")
    version = PlanRow.objects.values_list("version", flat=True).get(pk=job.plan_id)
    replace_plan(
        plan_id=job.plan_id,
        plan=replace(plan, circuits=(*plan.circuits, added)),
        expected_version=version,
        by="Otto",
    )
    return added.name


def circuits_bought(job: Job) -> set[str]:
    return {name for line in demand_of([ahead(job)]) for name in line.circuits}


def test_what_is_drawn_later_is_bought_once_its_change_is_accepted(booked: Job) -> None:
    before = demand_of([ahead(booked)])
    name = draw_another(booked)
    assert demand_of([ahead(booked)]) == before
    (beyond,) = not_agreed([ahead(booked)])
    assert name in beyond.circuits
    assert any(drawn.is_more and drawn.kind.startswith("wire") for drawn in beyond.drawn)

    change = send_change(job=booked, note="", by="Otto", at=timezone.now())
    assert name not in circuits_bought(booked), "sent is not accepted"
    answer_change(change=change, accepted=True, name="A. F.", at=timezone.now())
    assert name in circuits_bought(booked)
    assert not_agreed([ahead(booked)]) == ()


def test_a_job_that_is_only_likely_is_bought_for_as_it_is_drawn(db: object) -> None:
    job = opened("likely", stage=Stage.QUOTED)
    assert draw_another(job) in circuits_bought(job)
    assert not_agreed([ahead(job)]) == ()


def test_the_pages_show_what_is_drawn_but_not_agreed_and_cut_what_is(booked: Job) -> None:
    client = Client()
    client.force_login(User.objects.create_user("otto", role=Role.OFFICE))
    name = draw_another(booked)
    needs = client.get(reverse("materials:materials")).content.decode()
    assert "Drawn, but not agreed" in needs
    kit = client.get(reverse("materials:kit", args=[booked.pk])).content.decode()
    assert "The plan has moved on from what the customer agreed to" in kit
    assert f"{name}/1" not in kit
    cuts = client.get(reverse("materials:cut_list_csv", args=[booked.pk])).content.decode()
    assert f"{name}/1" not in cuts
