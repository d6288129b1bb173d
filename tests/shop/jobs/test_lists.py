"""Lists of jobs, customers, vehicles: found, sorted, paged, taken away; at a fixed number of queries."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.plan import Plan
from circuits.plan import Vehicle as PlanVehicle
from circuits.planning.services import FromSheet, new_plan
from shop.jobs.models import Customer, Job, Stage, Vehicle
from shop.jobs.services import Opening, open_job
from tests.shop.jobs.conftest import AT

LISTS = ["jobs:jobs", "jobs:customers", "jobs:vehicles"]


def many(count: int) -> None:
    for i in range(count):
        customer = Customer.objects.create(name=f"Customer {i:02}", phone=f"01 555 {i:04}")
        vehicle = Vehicle.objects.create(customer=customer, description=f"Vehicle {i:02}", plate=f"P {i:03}")
        plan = new_plan(title="x", source=FromSheet(Plan(PlanVehicle(), (), (), ())), by="Otto")
        open_job(customer=customer, vehicle=vehicle, plan=plan, opening=Opening(f"Job {i:02}"), by="Otto", at=AT)


@pytest.mark.parametrize("name", LISTS)
def test_queries_do_not_grow_with_rows(client, office, name):
    client.force_login(office)
    many(1)
    with CaptureQueriesContext(connection) as one_row:
        client.get(reverse(name))
    many(40)
    with CaptureQueriesContext(connection) as full_page:
        client.get(reverse(name))
    assert len(full_page) == len(one_row) <= 6


@pytest.mark.parametrize("word", ["fernwhistle", "QF 1968", "qf15s", "0147", "full", "J-2031-001", "ada full"])
def test_one_box_finds_a_job_by_whatever_is_known(client, office, job, word):
    client.force_login(office)
    assert job.number in client.get(reverse("jobs:jobs"), {"q": word}).content.decode()


def test_words_that_match_nothing_say_so(client, office, job):
    client.force_login(office)
    page = client.get(reverse("jobs:jobs"), {"q": "ada bicycle"}).content.decode()
    assert job.number not in page
    assert "No job" in page


def test_state_filters(client, office, job):
    client.force_login(office)
    assert job.number in client.get(reverse("jobs:jobs"), {"stage": Stage.SURVEY}).content.decode()
    assert job.number not in client.get(reverse("jobs:jobs"), {"stage": Stage.BOOKED}).content.decode()


def test_every_offered_sort_orders_the_rows(client, office):
    client.force_login(office)
    many(3)
    for sort in ("number", "title", "customer", "vehicle", "plate", "stage", "starts_on"):
        for sign in ("", "-"):
            assert client.get(reverse("jobs:jobs"), {"sort": sign + sort}).status_code == 200
    page = client.get(reverse("jobs:jobs"), {"sort": "-customer"}).content.decode()
    assert page.index("Customer 02") < page.index("Customer 01") < page.index("Customer 00")


def test_second_page_goes_on_where_the_first_ended(client, office):
    client.force_login(office)
    many(30)
    first = client.get(reverse("jobs:jobs"), {"sort": "title"}).content.decode()
    second = client.get(reverse("jobs:jobs"), {"sort": "title", "page": 2}).content.decode()
    assert "Job 24" in first
    assert "Job 25" not in first
    assert "Job 25" in second
    assert "Job 24" not in second


@pytest.mark.parametrize("page", ["0", "-1", "x", "99999"])
def test_page_that_is_not_there_is_no_error(client, office, job, page):
    client.force_login(office)
    assert client.get(reverse("jobs:jobs"), {"page": page}).status_code == 200


def test_csv_holds_every_row_and_no_formula(client, office, job):
    client.force_login(office)
    Job.objects.update(title="=HYPERLINK(1)")
    answer = client.get(reverse("jobs:jobs"), {"as": "csv", "q": "fernwhistle"})
    assert answer["Content-Type"].startswith("text/csv")
    text = answer.content.decode("utf-8-sig")
    assert job.number in text
    assert "'=HYPERLINK(1)" in text


@pytest.mark.parametrize("typed", ["QF1968", "qf-19 68", "015550147", "01-555-0147", "QF15S"])
def test_plate_chassis_and_phone_are_found_however_they_are_spaced(client, office, job, typed):
    client.force_login(office)
    assert job.number in client.get(reverse("jobs:jobs"), {"q": typed}).content.decode()


def test_box_on_every_sheet_opens_the_one_job_or_lists_those_that_may_be(client, office, job):
    client.force_login(office)
    for page in ("jobs:customers", "people:password", "planning:bench", "help:start"):
        assert f'action="{reverse("jobs:find")}"' in client.get(reverse(page)).content.decode()
    assert client.get(reverse("jobs:find"), {"q": " QF 1968 "}).url == reverse("jobs:job", args=[job.pk])
    many(2)
    assert client.get(reverse("jobs:find"), {"q": "customer & co"}).url == "/?q=customer+%26+co"
    assert client.get(reverse("jobs:find"), {"q": "\x00"}).url == "/?q="


def test_those_without_a_log_in_have_no_box(client, db):
    assert reverse("jobs:find") not in client.get(reverse("people:log_in")).content.decode()
    assert client.get(reverse("jobs:find"), {"q": "QF 1968"}).url.startswith(reverse("people:log_in"))
