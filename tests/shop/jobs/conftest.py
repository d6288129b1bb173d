"""The cast of the job tests: staff, a customer with a vehicle, a job."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from circuits.planning.services import FromStarter, new_plan
from shop.jobs.models import Customer, Vehicle
from shop.jobs.services import Opening, open_job
from shop.people.models import Role, User

AT = datetime(2031, 5, 2, 9, tzinfo=UTC)


@pytest.fixture
def office(db):
    return User.objects.create_user("otto", role=Role.OFFICE)


@pytest.fixture
def technician(db):
    return User.objects.create_user("tessa", role=Role.TECHNICIAN)


@pytest.fixture
def vehicle(db):
    customer = Customer.objects.create(name="Ada Fernwhistle", phone="01 555 0147")
    return Vehicle.objects.create(
        customer=customer, description="Quillfeather saloon", year=1968, plate="QF 1968", chassis_number="QF15S0042"
    )


@pytest.fixture
def job(vehicle):
    plan = new_plan(title="rewire", source=FromStarter("open_two_seater"), by="Otto")
    opening = Opening(title="Full rewire")
    return open_job(customer=vehicle.customer, vehicle=vehicle, plan=plan, opening=opening, by="Otto", at=AT)
