"""The search of a fault: its steps are kept, its page says where it stands, the shop's own faults teach it."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from circuits.diagnosis.tables import Cause
from circuits.planning.models import PlanRow
from circuits.planning.store import replace_plan
from shop.faults.finding import counted_causes, search_state
from shop.faults.models import Fault, FaultEvent, FinderStep, Weight
from shop.faults.services import Symptom, Tried, add_test, close, raise_fault
from shop.floor.queued import new_key
from tests.shop.floor.cast import PLAN, hour, sent

HORN = "load: horn at left headlamp of horn"


@pytest.fixture
def hand(client, tessa):
    client.force_login(tessa)
    return client


@pytest.fixture
def fault(job, tessa):
    symptom = Symptom("horn is dead", Weight.STOPS, circuits=("horn",))
    return raise_fault(job=job, symptom=symptom, by=tessa, at=hour(0), key=new_key())


def address(name, fault, *more):
    return reverse(f"faults:{name}", args=[fault.job_id, fault.pk, *more])


def seen(**values):
    return sent(load=HORN, state="horn on", does="off") | values


def diagnosis_of(fault):
    found = search_state(fault).diagnosis
    assert found is not None
    return found


def said(hand, fault):
    return hand.get(address("find", fault)).content.decode()


def test_what_is_seen_gives_suspects_and_a_next_test_and_is_kept(hand, fault, tessa):
    assert "Next test" not in said(hand, fault)
    hand.post(address("answer", fault), seen())
    step = FinderStep.objects.get()
    assert (step.by, step.answer, step.proposed) == (tessa, "off", None)
    assert "horn at left headlamp" in step.words
    assert sum(group["share"] for group in step.standing) > 0.3
    page = said(hand, fault)
    for words in ("Next test", "Suspects", "load itself dead", "What each answer would mean", "Tessa"):
        assert words in page


def test_an_answer_keeps_what_was_proposed_when_it_was_given(hand, fault):
    hand.post(address("answer", fault), seen())
    proposal = diagnosis_of(fault).proposals[0].offer
    test = hand.get(address("find", fault)).context["next"][0]
    answer = test.answers[0] if test.answers else "0"
    hand.post(address("answer", fault), sent(question=test.question, words=test.words, answer=answer))
    first, second = FinderStep.objects.all()
    assert (second.proposed or {})["words"] == proposal.words == second.words
    assert second.standing != first.standing


def test_a_reading_needs_no_unit_where_the_page_names_it(hand, fault):
    asked = {"act": "volts", "point": "horn/1 end", "state": "horn on", "unit": "V"}
    hand.post(address("answer", fault), sent(question=json.dumps(asked), words="Read", answer="11,9"))
    hand.post(address("answer", fault), sent(question=json.dumps(asked), words="Read", answer="300 mV"))
    assert [step.answer for step in FinderStep.objects.all()] == ["11.9 V", "300 mV"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"load": "bell"},
        {"state": "dusk"},
        {"does": "shines"},
        {"question": "{"},
        {"question": "[]"},
        {"question": '{"act": "volts", "point": "horn/1 end", "state": "horn on", "unit": "V"}', "answer": "lots"},
        {"key": "?"},
    ],
)
def test_what_cannot_be_read_is_told_and_nothing_is_kept(hand, fault, wrong):
    answer = hand.post(address("answer", fault), seen() | wrong, headers={"X-Queued": "1"})
    assert answer.status_code == 422
    assert answer.json()["why"]
    assert not FinderStep.objects.exists()


def test_the_same_answer_sent_twice_is_one_step(hand, fault):
    fields = seen()
    for _ in range(2):
        hand.post(address("answer", fault), fields)
    assert FinderStep.objects.count() == 1


def test_a_step_taken_back_counts_no_more_and_stays_in_the_history(hand, fault):
    hand.post(address("answer", fault), seen())
    step = FinderStep.objects.get()
    for _ in range(2):
        hand.post(address("take_back", fault, step.pk))
    assert search_state(fault).diagnosis is None
    assert [one.takes_back for one in FinderStep.objects.all()] == [None, step]
    page = hand.get(address("fault", fault)).content.decode()
    assert "Taken back: Look at horn" in page


def test_a_step_is_never_changed(hand, fault):
    hand.post(address("answer", fault), seen())
    step = FinderStep.objects.get()
    step.answer = "on"
    with pytest.raises(ValidationError):
        step.save()
    with pytest.raises(ValidationError):
        FinderStep.objects.all().delete()


def test_the_page_says_that_the_plan_was_changed_since(hand, fault):
    hand.post(address("answer", fault), seen())
    assert "The plan was changed" not in said(hand, fault)
    row = PlanRow.objects.get(pk=fault.job.plan_id)
    fewer = replace(PLAN, circuits=tuple(one for one in PLAN.circuits if one.name != "clock"))
    row = replace_plan(plan_id=row.pk, plan=fewer, expected_version=row.version, by="Otto")
    assert "The plan was changed" in said(hand, fault)
    gone = replace(PLAN, circuits=tuple(one for one in PLAN.circuits if one.name != "horn"))
    replace_plan(plan_id=row.pk, plan=gone, expected_version=row.version, by="Otto")
    assert "the plan no longer knows" in said(hand, fault)


def closed(job, tessa, kind):
    one = raise_fault(job=job, symptom=Symptom("dead", Weight.STOPS), by=tessa, at=hour(0), key=new_key())
    add_test(fault=one, tried=Tried("pressed", "12 V", 12.0, "V", passed=True), by=tessa, at=hour(1), key=new_key())
    return close(fault=one, cause="rust", remedy="ring", by=tessa, at=hour(2), cause_kind=kind)


def test_closed_faults_teach_the_finder(hand, fault, job, tessa):
    hand.post(address("answer", fault), seen())

    def share():
        groups = diagnosis_of(fault).groups
        return sum(one.share for one in groups if one.suspects[0][0].cause is Cause.BLOWN_FUSE)

    before = share()
    for kind in (*["blown_fuse"] * 6, "other", ""):
        closed(job, tessa, kind)
    assert counted_causes() == {Cause.BLOWN_FUSE: 6}
    assert share() > 1.5 * before


def test_a_kind_of_cause_that_is_none_is_refused(job, tessa):
    with pytest.raises(ValidationError, match="cause_kind"):
        closed(job, tessa, "gremlins")
    assert not FaultEvent.objects.filter(what="closed").exists()


def test_the_kind_of_cause_is_chosen_on_closing(hand, fault, tessa):
    tried = Tried("pressed", "12 V", 12.0, "V", passed=True)
    add_test(fault=fault, tried=tried, by=tessa, at=hour(1), key=new_key())
    hand.post(address("close", fault), {"cause": "rust", "remedy": "ring", "cause_kind": "bad_ground"})
    assert Fault.objects.get().cause_kind == "bad_ground"
    assert "bad ground or ground off" in hand.get(address("fault", fault)).content.decode()
    answer = hand.post(address("answer", fault), seen(), headers={"X-Queued": "1"})
    assert "is closed" in answer.json()["why"]


def test_the_page_costs_the_same_queries_for_one_step_and_for_eight(hand, fault, django_assert_num_queries):
    hand.post(address("answer", fault), seen())
    said(hand, fault)
    with django_assert_num_queries(8):  # one is for the sheets of the job in the frame
        said(hand, fault)
    for state in ("horn on, key off", "everything on", "all off") * 2:
        hand.post(address("answer", fault), seen(state=state))
    with django_assert_num_queries(8):
        said(hand, fault)
