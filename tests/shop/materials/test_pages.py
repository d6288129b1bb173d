"""The needs and the kits of jobs: which jobs, what is behind each line, and that technicians see no money."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from estimating.purchasing.models import OrderRow, ReservationRow, RunRow
from estimating.purchasing.placing import place_orders
from estimating.purchasing.receiving import Came, receive
from estimating.purchasing.running import start_run, work_off
from estimating.quotes.services import accept_revision, send_revision
from shop.jobs.models import Customer, Job, Stage, Vehicle
from shop.jobs.services import Opening, open_job
from shop.materials.work import ahead, jobs_ahead
from shop.people.models import Role, User
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db


def opened(title: str = "Rewire", days: int | None = 9, stage: Stage = Stage.BOOKED) -> Job:
    customer = Customer.objects.create(name="Ada Fernwhistle")
    vehicle = Vehicle.objects.create(customer=customer, description="Heron estate")
    starts_on = None if days is None else timezone.localdate() + timedelta(days=days)
    opening = Opening(title, starts_on=starts_on)
    plan = cast.plan_row(title)
    job = open_job(customer=customer, vehicle=vehicle, plan=plan, opening=opening, by="Ada", at=timezone.now())
    Job.objects.filter(pk=job.pk).update(stage=stage)
    return Job.objects.get(pk=job.pk)


def agree(job: Job) -> None:
    """Its customer accepts the quote: the job is booked."""
    now = timezone.now()
    accept_revision(revision=send_revision(quote=job.quote, by="Otto", at=now), name="A. F.", at=now, by="Otto")


@pytest.fixture
def job(db):
    return opened()


@pytest.fixture
def technician(client, db):
    client.force_login(User.objects.create_user("tessa", role=Role.TECHNICIAN))
    return client


@pytest.fixture
def office(db):
    from django.test import Client

    client = Client()
    client.force_login(User.objects.create_user("otto", role=Role.OFFICE))
    return client


@pytest.fixture
def ready(job):
    """Everything bought and in."""
    cast.sell_everything((ahead(job),), cast.supplier("North"))
    run = start_run(jobs=(ahead(job),), today=timezone.localdate(), by="Ada", at=timezone.now())
    work_off(run.pk)
    run.refresh_from_db()
    (order,) = place_orders(run=run, by="Ada", at=timezone.now())
    cast.send_order(order=order, by="Ada", at=timezone.now())
    came = {line.pk: Came(line.packs) for line in order.lines.all()}
    receive(order=order, came=came, token="t", by="Ada", at=timezone.now())
    return job


def test_jobs_ahead_are_accepted_dated_and_within_the_horizon(job):
    today = timezone.localdate()
    opened("far", days=60)
    opened("undated", days=None)
    opened("turned down", stage=Stage.TURNED_DOWN)
    likely = opened("likely", days=3, stage=Stage.QUOTED)
    late = opened("late", days=-2)
    refs = [each.ref for each in jobs_ahead(today=today, horizon_days=14)]
    assert refs == [late.number, job.number]
    with_likely = jobs_ahead(today=today, horizon_days=14, with_likely=True)
    assert [(each.ref, each.is_likely) for each in with_likely][1] == (likely.number, True)


def test_every_line_of_the_needs_opens_to_jobs_and_circuits(office, job):
    page = office.get(reverse("materials:materials")).content.decode()
    assert f"{job.number}: " in page
    assert "wire cooling fan/1" in page
    assert "low beam left" in page


def test_an_accepted_job_without_a_start_is_pointed_out(office):
    job = opened(days=None)
    page = office.get(reverse("materials:materials")).content.decode()
    assert f'Without a start nothing is bought for: <a href="{reverse("jobs:job", args=[job.pk])}"' in page


def test_the_button_starts_a_run_of_the_jobs_ahead(office, job):
    opened("likely", days=3, stage=Stage.QUOTED)
    answer = office.post(reverse("materials:start"))
    run = RunRow.objects.get()
    assert answer.url == reverse("purchasing:run", args=[run.pk])
    assert [record["ref"] for record in run.work] == [job.number]


def test_likely_jobs_are_planned_for_where_asked(office, job):
    likely = opened("likely", days=3, stage=Stage.QUOTED)
    office.post(reverse("materials:start"), {"with_likely": "on"})
    assert likely.number in {record["ref"] for record in RunRow.objects.get().work}


def test_a_second_press_leads_nowhere_while_a_run_is_open(office, job):
    RunRow.objects.create(started_at=timezone.now(), started_by="x", today=timezone.localdate(), work=[])
    answer = office.post(reverse("materials:start"), follow=True)
    assert "under way already" in answer.content.decode()
    assert RunRow.objects.count() == 1


def test_technicians_see_kits_and_stock_but_no_money(technician, ready):
    order = OrderRow.objects.get()
    prices = {str(order.total), *(f"{line.price:.2f}" for line in order.lines.all())}
    for name, args in (
        ("materials:materials", []),
        ("materials:kit", [ready.pk]),
        ("materials:cut_list_csv", [ready.pk]),
        ("materials:labels_csv", [ready.pk]),
        ("stock:stock", []),
        ("stock:material", [order.lines.all()[0].material_id]),
    ):
        page = technician.get(reverse(name, args=args)).content.decode()
        assert "EUR" not in page, name
        assert "€" not in page, name
        if name != "materials:cut_list_csv":  # lengths there may look like a price
            assert not {f">{price}<" for price in prices if f">{price}<" in page}, name
    for name, args in (("purchasing:orders", []), ("purchasing:order", [order.pk]), ("purchasing:suppliers", [])):
        assert technician.get(reverse(name, args=args)).status_code == 403


def test_a_technician_gives_the_kit_out(technician, ready):
    page = technician.get(reverse("materials:kit", args=[ready.pk])).content.decode()
    assert "Kit ready" in page
    answer = technician.post(reverse("materials:give_out", args=[ready.pk]), follow=True)
    assert "Kit given out" in answer.content.decode()
    again = technician.post(reverse("materials:give_out", args=[ready.pk]), follow=True)
    assert "not given out yet" in again.content.decode()


def test_the_office_lets_go_of_what_is_reserved(office, technician, ready):
    assert technician.post(reverse("materials:let_go", args=[ready.pk])).status_code == 403
    office.post(reverse("materials:let_go", args=[ready.pk]))
    assert not ReservationRow.objects.exists()


def test_the_office_says_that_a_job_needs_no_more(office, technician, job):
    address = reverse("materials:settle", args=[job.pk])
    assert technician.post(address).status_code == 403
    assert "Needs no more" in office.post(address, follow=True).content.decode()
    assert "Not planned" in office.post(address, {"again": "1"}, follow=True).content.decode()


def test_the_cut_list_on_paper_names_wire_roll_terminals_and_strip_length(technician, ready):
    answer = technician.get(reverse("materials:cut_list", args=[ready.pk]))
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    for words in ("cooling fan/1", "R-20", "strip 6 mm", "ring M6", ready.number, "To fetch, by bin"):
        assert words in text, words


def test_labels_on_paper_name_each_wire_as_often_as_the_take_off_counts(technician, ready):
    answer = technician.get(reverse("materials:labels", args=[ready.pk]))
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert text.count("cooling fan/1") == 2


def test_a_kit_of_a_job_without_a_start_is_no_error(technician):
    job = opened(days=None)
    assert technician.get(reverse("materials:kit", args=[job.pk])).status_code == 200


def test_queries_of_the_needs_do_not_grow_with_circuits_or_jobs(office, job):
    address = reverse("materials:materials")
    agree(opened("agreed", stage=Stage.QUOTED))
    office.get(address)
    queries = []
    for more in (0, 3):
        for n in range(more):
            agree(opened(f"more {n}", stage=Stage.QUOTED))
        office.get(address)  # plans are worked up once a process
        with CaptureQueriesContext(connection) as captured:
            office.get(address)
        queries.append(len(captured))
    assert queries[0] == queries[1] <= 30
