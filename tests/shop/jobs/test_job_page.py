"""The job's page says what stands and what comes next; technicians see no price on it."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.urls import reverse

from circuits.electrical.sizing import size_plan
from circuits.plan import Plan, Vehicle
from circuits.sheets.starters import load_starter
from estimating.quotes.services import accept_revision, decline_revision, send_revision
from shop.jobs.models import Stage
from shop.jobs.next_step import next_step
from tests.shop.jobs.conftest import AT

EMPTY = size_plan(Plan(Vehicle(), (), (), ()))
SOUND = size_plan(load_starter("pickup"))
TODAY = date(2031, 5, 2)


@pytest.mark.parametrize(
    ("stage", "sized", "valid_until", "starts_on", "stands"),
    [
        ("survey", EMPTY, None, None, "No circuit yet."),
        ("survey", SOUND, None, None, "The plan is sound."),
        ("quoted", SOUND, TODAY, None, "Waiting for the customer's answer."),
        ("quoted", SOUND, TODAY - timedelta(days=1), None, "The quote has run out."),
        ("booked", SOUND, None, None, "Booked."),
        ("booked", SOUND, None, date(2031, 6, 1), "Booked, starts 1 June 2031."),
        ("booked", SOUND, None, TODAY, "In work since 2 May 2031."),
        ("turned_down", SOUND, None, None, "The customer turned the quote down."),
        ("released", SOUND, None, TODAY, "Released."),
    ],
)
def test_next_step_follows_the_stage(stage, sized, valid_until, starts_on, stands):
    assert next_step(stage, sized, valid_until, starts_on, TODAY).stands == stands


def test_sending_and_accepting_move_the_job(job):
    revision = send_revision(quote=job.quote, by="Otto", at=AT)
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED
    accept_revision(revision=revision, name="Ada Fernwhistle", at=AT + timedelta(days=1))
    job.refresh_from_db()
    assert (job.stage, job.booked_at) == (Stage.BOOKED, AT + timedelta(days=1))


def test_declining_turns_the_job_down_and_a_new_revision_brings_it_back(job):
    revision = send_revision(quote=job.quote, by="Otto", at=AT)
    decline_revision(revision=revision, reason="too dear", at=AT)
    job.refresh_from_db()
    assert job.stage == Stage.TURNED_DOWN
    send_revision(quote=job.quote, by="Otto", at=AT)
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED


def test_office_sees_the_price_and_the_technician_does_not(client, job, office, technician):
    price = re.compile(r"€|EUR|with tax")
    client.force_login(office)
    assert price.search(client.get(reverse("jobs:job", args=[job.pk])).content.decode())
    client.force_login(technician)
    page = client.get(reverse("jobs:job", args=[job.pk])).content.decode()
    assert "Full rewire" in page
    assert not price.search(page)


def test_queries_of_the_page_are_few_and_fixed(client, job, office, django_assert_max_num_queries):
    client.force_login(office)
    client.get(reverse("jobs:job", args=[job.pk]))
    with django_assert_max_num_queries(12):
        client.get(reverse("jobs:job", args=[job.pk]))


def test_title_and_start_can_be_changed(client, job, office):
    client.force_login(office)
    client.post(reverse("jobs:edit", args=[job.pk]), {"title": "Half rewire", "starts_on": "2031-06-01"})
    job.refresh_from_db()
    assert (job.title, job.starts_on) == ("Half rewire", date(2031, 6, 1))


def test_unreadable_date_changes_nothing(client, job, office):
    client.force_login(office)
    page = client.post(reverse("jobs:edit", args=[job.pk]), {"title": "Half rewire", "starts_on": "soon"})
    assert "valid date" in page.content.decode()
    job.refresh_from_db()
    assert job.title == "Full rewire"


def test_job_that_is_not_there_is_a_plain_404(client, office):
    client.force_login(office)
    assert client.get(reverse("jobs:job", args=[424242])).status_code == 404
