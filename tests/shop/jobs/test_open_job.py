"""Opening a job: customer, vehicle, plan and quote stand or fall together."""

from __future__ import annotations

import io
import json

import pytest
from django.urls import reverse

from circuits.planning.models import PlanRow
from circuits.sheets import write_json
from circuits.sheets.starters import load_starter
from estimating.quotes.models import QuoteRow
from shop.jobs.models import Customer, Job, Stage, Vehicle

NEW = {
    "customer-name": "Bo Tallow",
    "customer-address": "1 Nowhere Lane\nSampleton",
    "vehicle-description": "Tansy two-seater",
    "vehicle-year": "1962",
    "vehicle-plate": "ty  620",
    "vehicle-chassis_number": "ty 000 12",
    "job-title": "Rewire",
    "plan-source": "open_two_seater",
}


def post(client, query="", **changes):
    return client.post(reverse("jobs:new") + query, {k: v for k, v in (NEW | changes).items() if v is not None})


def counts():
    return [model.objects.count() for model in (Customer, Vehicle, PlanRow, QuoteRow, Job)]


def test_new_customer_vehicle_plan_and_quote_in_one_go(client, office):
    client.force_login(office)
    answer = post(client)
    job = Job.objects.get()
    assert answer.url == reverse("planning:plan", args=[job.plan_id])
    assert job.stage == Stage.SURVEY
    assert (job.vehicle.plate, job.vehicle.chassis_number) == ("TY 620", "TY00012")
    assert job.quote.addressee == "Bo Tallow\n1 Nowhere Lane\nSampleton"
    assert job.quote.plan_id == job.plan_id
    assert job.number.startswith("J-")


def test_known_vehicle_keeps_its_customer(client, office, vehicle):
    client.force_login(office)
    post(client, f"?vehicle={vehicle.pk}", **{"customer-name": None, "vehicle-description": None})
    assert Job.objects.get().customer == vehicle.customer
    assert (Customer.objects.count(), Vehicle.objects.count()) == (1, 1)


def test_known_customer_brings_another_vehicle(client, office, vehicle):
    client.force_login(office)
    post(client, f"?customer={vehicle.customer_id}", **{"customer-name": None})
    assert Customer.objects.count() == 1
    assert Job.objects.get().vehicle.description == "Tansy two-seater"


def test_circuit_sheet_becomes_the_plan(client, office):
    client.force_login(office)
    sheet = io.BytesIO(write_json(load_starter("pickup")))
    sheet.name = "survey.json"
    post(client, **{"plan-source": "sheet", "plan-file": sheet})
    assert Job.objects.get().plan.circuits.count() == len(load_starter("pickup").circuits)


def test_unreadable_sheet_tells_every_cell_and_stores_nothing(client, office):
    client.force_login(office)
    content = json.loads(write_json(load_starter("pickup")))
    content["circuits"][0]["load_a"], content["circuits"][0]["load_w"] = "lots", ""
    content["circuits"][1]["kind"] = "toaster"
    sheet = io.BytesIO(json.dumps(content).encode())
    sheet.name = "survey.json"
    page = post(client, **{"plan-source": "sheet", "plan-file": sheet}).content.decode()
    assert "lots" in page
    assert "toaster" in page
    assert counts() == [0, 0, 0, 0, 0]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"customer-name": None}, "required"),
        ({"vehicle-year": "1268"}, "Found 1268, expected a year from 1885"),
        ({"job-title": None}, "required"),
        ({"plan-source": "spaceship"}, "spaceship"),
        ({"plan-source": "sheet"}, "no file"),
        ({"customer-email": "not an address"}, "email"),
    ],
)
def test_wrong_input_stores_nothing_and_keeps_what_was_typed(client, office, changes, said):
    client.force_login(office)
    page = post(client, **changes).content.decode()
    assert said in page
    assert "Tansy two-seater" in page
    assert counts() == [0, 0, 0, 0, 0]


def test_all_errors_are_told_at_once(client, office):
    client.force_login(office)
    page = post(client, **{"customer-name": None, "vehicle-description": None, "job-title": None}).content.decode()
    assert page.count("This field is required") == 3


def test_technician_may_not_open_a_job(client, technician):
    client.force_login(technician)
    assert post(client).status_code == 403
    assert Job.objects.count() == 0
