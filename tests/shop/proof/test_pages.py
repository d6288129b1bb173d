"""The pages of proof."""

from __future__ import annotations

import pytest
from django.urls import reverse

from shop.faults.models import Fault
from shop.proof.models import BatteryAct, CheckRow, LimitRow, Reading
from shop.proof.selectors import shop_limits
from shop.proof.services import make_sheet
from tests.shop.floor.cast import hour, sent

QUEUED = {"X-Queued": "1"}


@pytest.fixture
def sheet(job, tessa):
    make_sheet(job=job, by=tessa, at=hour(0))
    return job


@pytest.fixture
def hand(client, tessa):
    client.force_login(tessa)
    return client


def read_url(job, key="ground dash"):
    return reverse("proof:read", args=[job.pk, CheckRow.objects.get(job=job, key=key).pk])


def test_the_sheet_is_made_on_its_page(hand, job):
    hand.post(reverse("proof:make", args=[job.pk]))
    page = hand.get(reverse("proof:proof", args=[job.pk])).content.decode()
    assert "Ground point dash" in page
    assert "Battery stays off" in page


def test_a_reading_on_the_page_without_scripts(hand, sheet):
    hand.post(read_url(sheet), sent(typed="20 mohm", meter="bench meter"))
    page = hand.get(reverse("proof:proof", args=[sheet.pk])).content.decode()
    assert "20 mohm, passed" in page
    assert 'value="bench meter"' in page, "the meter stays in use"


def test_a_failed_reading_names_its_fault(hand, sheet):
    answer = hand.post(read_url(sheet), sent(typed="3 ohm"), headers=QUEUED)
    assert answer.json()["said"] == "Ground point dash: 3 ohm, failed. Fault 1 is open for it."


@pytest.mark.parametrize("typed", ["", "lots", "-1 ohm", "5 V", "x" * 200])
def test_what_is_no_reading_is_refused_in_words(hand, sheet, typed):
    answer = hand.post(read_url(sheet), sent(typed=typed), headers=QUEUED)
    assert answer.status_code == 422
    assert "Ground point dash" in answer.json()["why"]
    assert not Reading.objects.exists()


def test_a_look_is_passed_or_failed_by_a_press(hand, sheet):
    hand.post(read_url(sheet, "look sweep"), sent(passed="yes"))
    assert Reading.objects.get().passed
    hand.post(read_url(sheet, "look fuses"), sent(passed="no", remark="30 A in the horn"))
    assert Fault.objects.get().suspects == "30 A in the horn"


def test_a_look_without_a_verdict_is_refused(hand, sheet):
    assert hand.post(read_url(sheet, "look sweep"), sent(), headers=QUEUED).status_code == 422
    assert not Reading.objects.exists()


def test_a_technician_cannot_override_by_sending_a_reason(hand, sheet):
    hand.post(reverse("proof:battery", args=[sheet.pk]), {"reason": "in a hurry"})
    assert not BatteryAct.objects.exists()
    page = hand.get(reverse("proof:proof", args=[sheet.pk])).content.decode()
    assert "Connect by override" not in page


def test_an_owner_overrides_and_it_shows(client, sheet, owner):
    client.force_login(owner)
    client.post(reverse("proof:battery", args=[sheet.pk]), {"reason": "engine must move"})
    page = client.get(reverse("proof:proof", args=[sheet.pk])).content.decode()
    assert "By override" in page
    assert "engine must move" in page
    assert "Take the battery off" in page


def test_an_owner_sets_limits(client, sheet, owner):
    client.force_login(owner)
    url = reverse("proof:limits")
    fields = {
        f"{row.name}_{side}": "" if getattr(row, side) is None else f"{getattr(row, side)} {row.unit}".strip()
        for row in shop_limits().rows
        for side in ("low", "high")
    }
    assert client.post(url, fields | {"key_off_high": "35 mA"}).status_code == 302
    assert list(LimitRow.objects.values_list("name", "high")) == [("key_off", 0.035)]
    assert shop_limits()["key_off"].source == "the shop's own"
    wrong = client.post(url, fields | {"charging_low": "15 V", "key_off_high": "much"}).content.decode()
    assert "is above the most" in wrong
    assert "expected a current" in wrong
    assert shop_limits()["key_off"].high == 0.035, "nothing of a wrong form is stored"


def test_a_check_of_another_job_is_not_found(hand, sheet):
    check = CheckRow.objects.filter(job=sheet)[0]
    assert hand.get(reverse("proof:check", args=[sheet.pk + 1, check.pk])).status_code == 404


def test_the_sheet_costs_the_same_however_long_it_is(hand, sheet, django_assert_max_num_queries):
    with django_assert_max_num_queries(14):
        hand.get(reverse("proof:proof", args=[sheet.pk]))
