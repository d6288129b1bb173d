"""One whole search at 390 px: a load, what it does, tests answered by buttons or one field, until it is found."""

from __future__ import annotations

import time
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from circuits.diagnosis.predict import SHOWN
from circuits.diagnosis.seen import Setup
from circuits.diagnosis.table import Table
from circuits.network.faults import Fault as NetworkFault
from circuits.network.faults import FaultKind
from circuits.planning.models import PlanRow
from shop.faults.finding import finder_of, search_state
from shop.faults.models import FinderStep, Weight
from shop.faults.services import Symptom, raise_fault
from shop.floor.queued import new_key
from tests.shop.floor import cast
from tests.shop.floor.test_technicians_day import RULES, SMALL

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_blown_fuse_is_found_from_the_phone(live_shop: Any) -> None:
    live_shop.page.set_viewport_size({"width": 390, "height": 844})
    job, tessa = cast.booked_job(), cast.member("tessa")
    live_shop.log_in(tessa)
    symptom = Symptom("horn is dead", Weight.STOPS, circuits=("horn",))
    fault = raise_fault(job=job, symptom=symptom, by=tessa, at=cast.hour(0), key=new_key())
    blown = (NetworkFault(FaultKind.BLOWN_FUSE, "fuse: horn"),)
    finder = finder_of(PlanRow.objects.get(pk=job.plan_id))
    truth = Table(finder.whole, ((), blown))
    page = live_shop.open(reverse("faults:find", args=[job.pk, fault.pk]))
    page.select_option("#state", "horn on")
    page.get_by_role("button", name="off").click()
    page.get_by_role("heading", name="Next test").wait_for()
    assert page.evaluate(SMALL) == []
    assert not Axe().run(page, options=RULES).response["violations"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    for step in range(1, 20):
        diagnosis = search_state(fault).diagnosis
        assert diagnosis is not None
        if diagnosis.is_isolated:
            break
        question = diagnosis.proposals[0].offer.question
        began = time.monotonic()
        if page.locator(".find-next .find-buttons").count():
            answer = str(page.locator(".find-next .find-buttons button").nth(_true(truth, question)).text_content())
            page.locator(".find-next").get_by_role("button", name=answer, exact=True).click()
        else:
            page.locator(".find-next input[name=answer]").fill(f"{truth.figures(question)[1]:.2f}")
            page.locator(".find-next").get_by_role("button", name="Note").click()
        page.wait_for_function("n => document.querySelectorAll('.find-steps > li').length > n", arg=step)
        assert time.monotonic() - began < 20
    page.reload()
    page.get_by_text("Very likely found").wait_for()
    assert "blown fuse: horn" in str(page.locator(".find-groups > li").first.text_content())
    assert FinderStep.objects.filter(proposed__isnull=False).count() == FinderStep.objects.count() - 1


def _true(truth: Table, question: Any) -> int:
    """Which of the buttons is true; a close look at a place finds what is there."""
    if question.act.value == "inspect":
        return int(question.at == "fuse: horn")
    return int(truth.codes(question)[1])


def test_the_codes_of_a_look_are_those_of_its_buttons() -> None:
    assert [one.value for one in SHOWN] == ["off", "dim", "on"]
    assert Setup.of({}) == Setup()
