"""The cast of the link tests: a job whose quote is with the customer, staff, a stranger."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from circuits.planning.services import FromSheet, new_plan
from estimating.quotes.services import send_revision
from shop.jobs.models import Customer, Vehicle
from shop.jobs.services import Opening, open_job
from shop.links.services import make_link
from shop.people.models import Role, User
from tests.estimating.quotes import cast

DAY = timedelta(days=1)


@pytest.fixture
def office(db):
    return User.objects.create_user("otto", first_name="Otto", last_name="Ledger", role=Role.OFFICE)


def job_for(name, plate):
    customer = Customer.objects.create(name=name, phone="01 555 0147")
    vehicle = Vehicle.objects.create(customer=customer, description="Quillfeather saloon", plate=plate)
    plan = new_plan(title="rewire", source=FromSheet(cast.PLAN), by="Otto")
    at = timezone.now() - 2 * DAY
    return open_job(customer=customer, vehicle=vehicle, plan=plan, opening=Opening("Rewire"), by="Otto", at=at)


@pytest.fixture
def job(db):
    return job_for("Ada Fernwhistle", "QF 1968")


@pytest.fixture
def sent(job):
    return send_revision(quote=job.quote, by="Otto", at=timezone.now() - DAY)


@pytest.fixture
def new(job):
    return make_link(job=job, days=30, by="Otto", at=timezone.now() - DAY)


@pytest.fixture
def door(new):
    return reverse("links:open", args=[new.secret])


@pytest.fixture
def customer():
    """Somebody without a log-in, whose forms are checked as in a browser."""
    return Client(enforce_csrf_checks=True)
