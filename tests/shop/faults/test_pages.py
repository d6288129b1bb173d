"""The pages of the punch list."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.faults.models import Fault, Weight
from shop.faults.services import Symptom, raise_fault
from shop.floor.queued import new_key
from tests.shop.floor.cast import hour, sent

QUEUED = {"X-Queued": "1"}


@pytest.fixture
def hand(client, tessa):
    client.force_login(tessa)
    return client


@pytest.fixture
def fault(job, tessa):
    symptom = Symptom("horn is dead", Weight.STOPS, circuits=("horn",))
    return raise_fault(job=job, symptom=symptom, by=tessa, at=timezone.now(), key=new_key())


def address(name, fault):
    return reverse(f"faults:{name}", args=[fault.job_id, fault.pk])


def test_two_words_and_one_press_raise_a_fault(hand, job):
    """Under twenty seconds: nothing else is asked for."""
    hand.post(reverse("faults:new", args=[job.pk]), sent(does="horn is dead", weight="stops"))
    assert Fault.objects.get().does == "horn is dead"


@pytest.mark.parametrize("wrong", [{"does": ""}, {"weight": "awful"}, {"circuits": ["no such"]}, {"does": "x" * 301}])
def test_what_cannot_be_stored_is_told_and_nothing_is_lost(hand, job, wrong):
    fields = sent(does="horn is dead", weight="stops", should="sound") | wrong
    page = hand.post(reverse("faults:new", args=[job.pk]), fields).content.decode()
    assert "sound" in page
    answer = hand.post(reverse("faults:new", args=[job.pk]), fields, headers=QUEUED)
    assert answer.status_code == 422
    assert answer.json()["why"]
    assert not Fault.objects.exists()


def test_a_reading_without_a_unit_is_refused(hand, fault):
    answer = hand.post(address("test", fault), sent(what="measured", reading="12"), headers=QUEUED)
    assert "expected a reading with its unit" in answer.json()["why"]


def test_closed_and_opened_again_on_its_page(hand, fault):
    hand.post(address("close", fault), {"cause": "x", "remedy": "y"})
    assert Fault.objects.get().is_open, "no re-test yet"
    hand.post(address("test", fault), sent(what="horn pressed", reading="12.1 V", result="passed"))
    hand.post(address("close", fault), {"cause": "rust", "remedy": "new ring"})
    assert not Fault.objects.get().is_open
    hand.post(address("reopen", fault), {"why": "dead again"})
    page = hand.get(address("fault", fault)).content.decode()
    for words in ("Re-test passed.", "Cause: rust", "Opened again. dead again"):
        assert words in page


def test_described_anew_on_its_page(hand, fault):
    fields = {"does": "horn is dead", "weight": "danger", "advice": "do not drive"}
    assert hand.post(address("fault", fault), fields).status_code == 302
    page = hand.get(address("fault", fault)).content.decode()
    assert "weight was: Stops the vehicle" in page
    assert "The vehicle stays in the shop" in page


def test_a_fault_of_another_job_is_not_found(hand, fault):
    assert hand.get(reverse("faults:fault", args=[fault.job_id + 1, fault.pk])).status_code == 404


def test_a_symptom_is_text_not_markup(hand, job, tessa):
    symptom = Symptom("<script>alert(1)</script>", Weight.STOPS)
    raise_fault(job=job, symptom=symptom, by=tessa, at=hour(0), key=new_key())
    for page in (reverse("faults:faults"), reverse("faults:job_faults", args=[job.pk])):
        assert b"<script>alert" not in hand.get(page).content


def test_the_list_is_searched_filtered_and_taken_away(hand, fault, job, tessa):
    raise_fault(job=job, symptom=Symptom("clock is slow", Weight.COMFORT), by=tessa, at=hour(0), key=new_key())
    list_of = reverse("faults:faults")
    assert b"clock" not in hand.get(list_of, {"q": "horn"}).content
    assert b"horn is dead" not in hand.get(list_of, {"weight": "comfort"}).content
    assert "horn is dead,Stops the vehicle" in hand.get(list_of, {"as": "csv"}).content.decode()


def test_the_list_costs_the_same_for_one_fault_and_for_twenty(hand, fault, job, tessa, django_assert_max_num_queries):
    with django_assert_max_num_queries(6):
        hand.get(reverse("faults:faults"))
    for n in range(20):
        raise_fault(job=job, symptom=Symptom(f"x {n}", Weight.STOPS), by=tessa, at=hour(0), key=new_key())
    with django_assert_max_num_queries(6):
        hand.get(reverse("faults:faults"))
