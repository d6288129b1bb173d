"""Hours booked to a fault: one tap on its page, one running entry per person, never mixed with other work."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shop.faults.models import Fault, Weight
from shop.faults.services import Symptom, raise_fault
from shop.floor.fault_time import fault_time, package_for
from shop.floor.models import HoursEntry, Tap
from shop.floor.services import PressError, press
from tests.shop.floor import cast
from tests.shop.floor.cast import hour, package, sent, tap


@pytest.fixture
def fault(job, tessa) -> Fault:
    symptom = Symptom(does="horn silent", weight=Weight.STOPS, circuits=("horn",))
    return raise_fault(job=job, symptom=symptom, by=tessa, at=hour(0), key="k1")


def begin(person, fault, at, row, key):
    return press(act=Tap.Act.START, person=person, at=at, key=key, came_at=at, package=row, fault=fault)


def test_hours_on_a_fault_go_to_the_proof_of_its_circuits(fault, job):
    assert str(package_for(fault)) == "prove: front"


def test_time_spent_counts_only_what_was_started_on_the_fault(fault, job, tessa, bo):
    prove = package(job, "prove", "front")
    begin(tessa, fault, hour(0), prove, "aaaaaaaa")
    tap(tessa, "start", hour(1), prove)  # the same package, but no fault: other work
    tap(tessa, "stop", hour(3))
    begin(bo, fault, hour(2), prove, "bbbbbbbb")
    told = fault_time(fault, hour(2.5))
    assert told.minutes == 90
    assert told.at_work == (bo,)
    assert HoursEntry.objects.filter(person=tessa).count() == 2


def test_a_start_that_arrives_late_still_books_to_its_fault(fault, job, tessa):
    prove = package(job, "prove", "front")
    tap(tessa, "stop", hour(2))
    begin(tessa, fault, hour(1), prove, "aaaaaaaa")
    assert fault_time(fault, hour(5)).minutes == 60


def test_a_fault_of_another_vehicle_is_refused(fault, tessa):
    other = cast.booked_job("Second")
    with pytest.raises(PressError, match="another vehicle"):
        begin(tessa, fault, hour(0), package(other, "prove", "front"), "aaaaaaaa")


def test_page_starts_and_stops_with_one_tap_and_shows_the_sum(client, fault, job, tessa):
    client.force_login(tessa)
    page, url = reverse("faults:fault", args=[job.pk, fault.pk]), reverse("floor:fault_tap", args=[job.pk, fault.pk])
    assert "Start on this fault" in client.get(page).content.decode()
    assert client.post(url, sent(act="start")).url == page
    assert "Tessa at it now" in client.get(page).content.decode()
    client.post(url, sent(act="stop"))
    assert HoursEntry.objects.get(fault=fault).stopped_at is not None
    assert client.post(url, sent(act="tick"), headers={"X-Queued": "1"}).status_code == 422


@pytest.mark.parametrize(("role", "booked"), [("office", "Tessa"), ("technician", "Clerk")])
def test_office_enters_hours_for_others_and_technicians_only_their_own(client, job, tessa, role, booked):
    client.force_login(cast.member("clerk", role))
    client.post(
        reverse("floor:add_hours", args=[job.pk]),
        {
            "who": tessa.pk, "package": package(job, "pull", "front").pk, "reason": "phone was flat",
            "start": "2025-05-05T09:00", "stop": "2025-05-05T10:00",
        },
    )  # fmt: skip
    entry = HoursEntry.objects.get()
    assert str(entry.person) == booked
    assert entry.corrections.get().reason == "phone was flat"
