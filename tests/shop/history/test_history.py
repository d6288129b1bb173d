"""A job's history: newest first, whole over its pages, each line once; at a fixed number of queries."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from circuits.planning.models import PlanChange
from shop.faults.models import Weight
from shop.faults.services import Symptom, raise_fault
from shop.floor.corrections import Worked, correct
from shop.floor.models import HoursEntry
from shop.history.lines import PAGE, Line, Place, PlaceError, merged, read_place
from shop.history.logs import KINDS, LOGS
from shop.history.reading import history
from shop.links.services import accept_by_link, make_link, revoke_link
from shop.people.models import Role, User
from shop.people.roles import OWNER
from tests.shop.floor import cast as floor

NOON = datetime(2031, 5, 2, 12, tzinfo=UTC)


def changes(job, count, at=None):
    rows = PlanChange.objects.bulk_create(
        PlanChange(plan=job.plan, plan_version=1, by="Otto", what="circuit moved", subject=f"circuit {number}")
        for number in range(count)
    )
    if at is not None:
        PlanChange.objects.filter(pk__in=[row.pk for row in rows]).update(at=at)


def whole(job, **options):
    """All lines, page by page."""
    found: list[Line] = []
    after = None
    while True:
        page = history(job, allowed=OWNER, after=after, **options)
        found += page.lines
        if page.older is None:
            return found
        after = read_place(str(page.older))


@given(st.lists(st.lists(st.integers(0, 3), max_size=6), max_size=4), st.integers(1, 5))
def test_pages_of_several_logs_tell_every_line_once_in_order(moments, size):
    logs = [
        sorted(
            (Line(Place(NOON + timedelta(hours=hour), rank, key), "plan", "", "") for key, hour in enumerate(hours, 1)),
            key=lambda line: line.place.order,
        )
        for rank, hours in enumerate(moments)
    ]
    every = sorted((line for log in logs for line in log), key=lambda line: line.place.order)
    told: list[Line] = []
    after = None
    while True:
        rest = [[line for line in log if after is None or line.place.order > after.order] for log in logs]
        page = merged(rest, size)
        told += page.lines
        if page.older is None:
            break
        after = page.older
    assert told == every


@pytest.mark.parametrize(
    "text", ["", "x", "2031-05-02T09:00:00.1.7", "2031-05-02T09:00:00+00:00.1", "a.b.c", "9" * 999]
)
def test_place_that_cannot_be_read_is_refused(text):
    with pytest.raises(PlaceError):
        read_place(text)


@pytest.mark.django_db
def test_many_changes_of_one_moment_are_paged_without_gap_or_double(job, sent):
    changes(job, 2 * PAGE + 7, at=timezone.now())
    found = whole(job)
    subjects = [line.subject for line in found if line.what == "circuit moved"]
    assert len(subjects) == len(set(subjects)) == 2 * PAGE + 7
    assert [line.place.order for line in found] == sorted(line.place.order for line in found)


@pytest.mark.django_db
def test_what_people_did_is_told_with_their_names(job, sent, office):
    now = timezone.now()
    new = make_link(job=job, days=3, by="Otto Ledger", at=now)
    accept_by_link(link=new.link, number=1, name="Ada Fernwhistle", at=now + timedelta(seconds=1))
    revoke_link(link_id=new.link.pk, by="Wilma Lumen", at=now + timedelta(seconds=2))
    symptom = Symptom(does="Horn sounds with the brake", weight=Weight.DANGER)
    raise_fault(job=job, symptom=symptom, by=office, at=now + timedelta(seconds=3), key="k1")
    told = [(line.by, line.what) for line in whole(job)]
    assert ("Otto", "quote sent") in told
    assert told[:5] == [
        ("Otto Ledger", "fault raised"),
        ("Wilma Lumen", "customer link revoked"),
        ("Ada Fernwhistle", "accepted by customer link"),
        ("Ada Fernwhistle", "quote accepted"),
        ("Otto Ledger", "customer link made"),
    ]


@pytest.mark.django_db
def test_history_is_found_by_kind_and_by_subject(job, sent, office):
    changes(job, 12)
    assert {line.kind for line in whole(job, kind="plan")} == {"plan"}
    assert [line.subject for line in whole(job, about="circuit 11")] == ["circuit 11"]
    assert whole(job, about="no such thing") == []


def test_every_log_is_of_a_kind_that_can_be_chosen():
    assert {log.kind for log in LOGS} == set(KINDS)


@pytest.mark.django_db
def test_page_costs_the_same_queries_however_long_the_history(client, job, sent, office, django_assert_max_num_queries):
    client.force_login(office)
    url = reverse("history:job", args=[job.pk])
    client.get(url)
    for count in (1, 3 * PAGE):
        changes(job, count)
        with django_assert_max_num_queries(len(LOGS) + 5):
            page = client.get(url)
    assert page.status_code == 200
    older = client.get(url + "?" + page.context["older"])
    assert older.status_code == 200
    assert set(page.context["lines"]).isdisjoint(older.context["lines"])


@pytest.mark.django_db
def test_technician_reads_nothing_of_prices(client, job, sent):
    client.force_login(User.objects.create_user("tessa", role=Role.TECHNICIAN))
    page = client.get(reverse("history:job", args=[job.pk]))
    assert "money" not in {line.kind for line in page.context["lines"]}
    assert "quote sent" not in page.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "query", ["after=rubbish", "kind=nothing", "about=%00x", "after=2031-05-02T09:00:00%2B00:00.1.9"]
)
def test_mistyped_address_is_no_fault(client, job, sent, office, query):
    client.force_login(office)
    assert client.get(reverse("history:job", args=[job.pk]) + "?" + query).status_code == 200


@pytest.mark.django_db
def test_work_is_told_with_starts_stops_ticks_and_corrections_but_only_to_those_who_may_see_it(office):
    job, tessa = floor.booked_job(), floor.member("tessa")
    pull = floor.package(job, "pull", "front")
    floor.tap(tessa, "start", floor.hour(0), pull)
    floor.tap(tessa, "tick", floor.hour(0.5), pull, "horn")
    floor.tap(tessa, "untick", floor.hour(0.75), pull, "horn")
    floor.tap(tessa, "stop", floor.hour(1))
    stopped = Worked(pull, floor.hour(0), floor.hour(2))
    correct(entry=HoursEntry.objects.get(), worked=stopped, reason="phone was off", by=office, at=floor.hour(3))
    told = [(line.by, line.what, line.subject) for line in whole(job, kind="work")]
    assert told == [
        ("Otto Ledger", "hours set right", "pull: front"),
        ("Tessa", "work stopped", "pull: front"),
        ("Tessa", "tick taken back", "horn"),
        ("Tessa", "ticked", "horn"),
        ("Tessa", "work started", "pull: front"),
    ]
    [corrected] = [line for line in whole(job, about="front") if line.what == "hours set right"]
    assert corrected.details[:2] == ("hours of Tessa", "phone was off")
    assert not history(job, allowed=OWNER - {"floor.view_work"}, kind="work").lines
