"""The pages of the floor: taps at once and late, without scripts and from the phone's queue."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from shop.floor.models import Hold, HoursEntry, Package, Tap
from shop.floor.queued import new_key
from tests.shop.floor import cast
from tests.shop.floor.cast import package, sent

QUEUED = {"X-Queued": "1"}


@pytest.fixture
def hand(client: Client, tessa):
    client.force_login(tessa)
    return client


@pytest.fixture
def pull(job) -> Package:
    return package(job, "pull", "front")


def tap_url(row: Package) -> str:
    return reverse("floor:tap", args=[row.job_id, row.pk])


def test_start_and_stop_without_scripts(hand, pull):
    page = reverse("floor:package", args=[pull.job_id, pull.pk])
    assert hand.post(tap_url(pull), sent(act="start")).url == page
    assert b"You are on" in hand.get(page).content
    hand.post(tap_url(pull), sent(act="stop"))
    assert HoursEntry.objects.get().stopped_at is not None


def test_a_late_tap_keeps_its_own_time(hand, pull):
    made = timezone.now() - timedelta(hours=3)
    hand.post(tap_url(pull), sent(act="start", made_ms="1000", sends_ms=str(1000 + 3 * 3_600_000)), headers=QUEUED)
    assert abs(HoursEntry.objects.get().started_at - made) < timedelta(seconds=30)


def test_a_phone_with_a_wrong_clock_books_the_right_time(hand, pull):
    """Its clock is years behind; it was pressed ten minutes before it was sent."""
    hand.post(tap_url(pull), sent(act="start", made_ms="0", sends_ms="600000"), headers=QUEUED)
    assert abs(timezone.now() - timedelta(minutes=10) - HoursEntry.objects.get().started_at) < timedelta(seconds=30)


@pytest.mark.parametrize(("made", "sends"), [("5000", "1000"), ("0", str(40 * 86_400_000)), ("x", "1"), ("1", "")])
def test_a_time_that_cannot_be_is_refused_in_words(hand, pull, made, sends):
    answer = hand.post(tap_url(pull), sent(act="start", made_ms=made, sends_ms=sends), headers=QUEUED)
    assert answer.status_code == 422
    assert answer.json()["why"]
    assert not Tap.objects.exists()


@pytest.mark.parametrize(
    "fields", [{"act": "jump"}, {"act": "tick", "circuit": "nothing"}, {"act": "start", "key": "x"}]
)
def test_what_is_no_tap_is_refused_in_words(hand, pull, fields):
    answer = hand.post(tap_url(pull), sent() | fields, headers=QUEUED)
    assert answer.status_code == 422
    assert answer.json()["why"]


def test_the_queue_is_told_what_came_of_it(hand, pull):
    answer = hand.post(tap_url(pull), sent(act="tick", circuit="horn"), headers=QUEUED)
    assert answer.json()["said"] == "Ticked."


def test_a_tap_sent_again_is_answered_as_the_first(hand, pull):
    fields = sent(act="start")
    assert [hand.post(tap_url(pull), fields, headers=QUEUED).status_code for _ in range(2)] == [200, 200]
    assert HoursEntry.objects.count() == 1


def test_a_package_of_another_job_is_not_found(hand, pull):
    assert hand.post(reverse("floor:tap", args=[pull.job_id + 1, pull.pk]), sent(act="start")).status_code == 404


def test_hours_set_right_on_the_page(hand, pull, tessa):
    hand.post(tap_url(pull), sent(act="start", made_ms="0", sends_ms=str(2 * 3_600_000)))
    hand.post(tap_url(pull), sent(act="stop", made_ms="0", sends_ms="60000"))
    entry = HoursEntry.objects.get()
    url = reverse("floor:hours", args=[pull.job_id, entry.pk])
    start, stop = entry.started_at, entry.started_at + timedelta(hours=1)
    fields = {"package": pull.pk, "start": f"{start:%Y-%m-%dT%H:%M}", "stop": f"{stop:%Y-%m-%dT%H:%M}"}
    assert b"This field is required" in hand.post(url, fields).content
    assert hand.post(url, fields | {"reason": "lunch"}).status_code == 302
    entry.refresh_from_db()
    assert entry.is_corrected
    assert b"lunch" in hand.get(url).content


def test_a_technician_does_not_mend_the_hours_of_others(hand, pull, bo):
    entry = HoursEntry.objects.create(
        package=pull, person=bo, started_at=timezone.now() - timedelta(hours=2), stopped_at=timezone.now()
    )
    url = reverse("floor:hours", args=[pull.job_id, entry.pk])
    fields = {"package": pull.pk, "start": "2031-05-05T09:00", "stop": "2031-05-05T10:00", "reason": "x"}
    assert hand.post(url, fields).status_code == 403


def test_waiting_for_parts_and_they_are_here(hand, pull):
    url = reverse("floor:hold", args=[pull.job_id, pull.pk])
    hand.post(url, {"cause": "parts", "words": "M6 rings"})
    assert b"waiting for parts: M6 rings" in hand.get(reverse("floor:package", args=[pull.job_id, pull.pk])).content
    hand.post(url, {"lift": Hold.objects.get().pk})
    assert Hold.objects.get().lifted_at is not None


def test_no_price_is_shown_on_the_floor(hand, pull):
    for page in (reverse("floor:work", args=[pull.job_id]), reverse("floor:week")):
        text = hand.get(page).content.decode()
        assert "€" not in text
        assert "EUR" not in text


@pytest.mark.parametrize("asked", ["", "yesterday", "0001-01-01", "9999-12-31", "2031-05-07"])
def test_any_week_can_be_asked_for(hand, job, asked):
    answer = hand.get(reverse("floor:week"), {"from": asked})
    assert answer.status_code == 200
    if asked == "2031-05-07":
        assert b"Week from 5 May 2031" in answer.content


def test_work_costs_the_same_however_many_packages(hand, job):
    many = tuple(replace(cast.TAIL, name=f"lamp {n}", section=f"section {n}") for n in range(12))
    large = cast.booked_job("Large", replace(cast.PLAN, circuits=many))
    costs = []
    for one in (job, large):
        url = reverse("floor:work", args=[one.pk])
        hand.get(url)  # what is kept in the process is kept from here on
        with CaptureQueriesContext(connection) as queries:
            hand.get(url)
        costs.append(len(queries))
    assert Package.objects.filter(job=large).count() > 60
    assert costs[0] == costs[1] <= 24


def test_keys_are_such_as_the_server_takes():
    assert len(new_key()) == 32
