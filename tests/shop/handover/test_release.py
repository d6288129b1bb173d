"""Releasing a job: refused with every reason, done in somebody's name, frozen from then on."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import DatabaseError, connection, transaction
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuits.planning.store import load_plan, replace_plan
from shop.faults.models import Weight
from shop.faults.services import Symptom, describe, raise_fault
from shop.handover.draft import draft_of
from shop.handover.models import Handover, HandoverPaper, PaperKind
from shop.handover.record import read_record
from shop.handover.rules import RefusedError
from shop.handover.services import paper_of, release_job
from shop.jobs.models import Stage
from shop.proof.models import CheckRow
from shop.proof.services import Told, connect_battery, make_sheet, record_reading
from tests.shop.handover.conftest import AT, URL, bad_reading, prove

LATER = AT + timedelta(days=3)


def release(job, by, **options):
    return release_job(job_id=job.pk, by=by, at=LATER, job_url=URL, **options)


def reasons(job, by):
    with pytest.raises(RefusedError) as refused:
        release(job, by)
    assert not Handover.objects.exists()
    return " ".join(refused.value.reasons)


def test_proved_job_is_released_in_the_name_of_who_releases(proved, owner):
    made = release(proved, owner)
    assert (made.number, made.released_name, made.released_at) == (1, "Wilma Lumen, owner", LATER)
    content = read_record(made.content).content
    proved.refresh_from_db()
    assert proved.stage == Stage.RELEASED
    assert content.released_by == "Wilma Lumen, owner"
    assert not content.is_draft
    assert content.technicians == ("Tessa Crimp",)
    assert content.meters == ("Meter 2",)
    assert all(line.outcome == "passed" for line in content.proof)
    assert content.chart.panels


def test_technician_may_not_release(proved, technician):
    with pytest.raises(PermissionDenied):
        release(proved, technician)
    assert not Handover.objects.exists()


def test_without_a_check_sheet_nothing_leaves(job, owner):
    assert "No check has been made" in reasons(job, owner)


def test_missing_check_is_named(job, owner, technician):
    prove(job, technician, leave={"charging"})
    assert "Check missing, Charging" in reasons(job, owner)


def test_failed_check_is_named_and_opens_a_fault_that_is_told_too(proved, owner, technician):
    check = CheckRow.objects.get(job=proved, key="look sweep")
    record_reading(check=check, told=Told(passed=False), by=technician, at=LATER, key="bad")
    told = reasons(proved, owner)
    assert "Check failed, Look and feel" in told
    assert "endangers people and is open" in told


def test_battery_override_does_not_let_the_vehicle_leave_and_stands_on_the_sheet(job, owner, technician):
    make_sheet(job=job, by=technician, at=AT)
    connect_battery(job=job, by=owner, at=AT, override_reason="Only to read the key-off draw")
    assert "missing" in reasons(job, owner)
    prove(job, technician)
    content = read_record(release(job, owner).content).content
    (line,) = content.overrides
    assert (line.reason, line.owner) == ("Only to read the key-off draw", "Wilma Lumen")


def test_open_danger_stops_it_and_an_open_comfort_fault_needs_advice(proved, owner, technician):
    raise_fault(job=proved, symptom=Symptom("Brake lamps glow", Weight.DANGER), by=technician, at=AT, key="d")
    assert "Fault 1 endangers people and is open: Brake lamps glow." in reasons(proved, owner)
    fault = proved.faults.get()
    describe(fault=fault, changes={"weight": Weight.COMFORT}, by=owner, at=AT)
    assert "stays open without advice" in reasons(proved, owner)
    describe(fault=fault, changes={"advice": "Carry a spare lamp"}, by=owner, at=AT)
    content = read_record(release(proved, owner).content).content
    assert [(one.number, one.advice) for one in content.faults] == [(1, "Carry a spare lamp")]


def test_work_that_the_customer_has_not_accepted_stops_it(proved, owner):
    plan = load_plan(proved.plan_id)
    name = plan.circuits[-1].name
    less = replace(plan, circuits=plan.circuits[:-1])
    replace_plan(plan_id=proved.plan_id, plan=less, expected_version=proved.plan.version, by="Otto")
    told = reasons(proved, owner)
    assert f"has not accepted what was changed since: {name}" in told
    assert "make it anew" in told


def test_quote_must_be_accepted(proved, owner):
    with connection.cursor() as cursor:
        cursor.execute(
            "DROP TRIGGER IF EXISTS quotes_sent_is_frozen"
            + ("" if connection.vendor == "sqlite" else " ON quotes_quoterevision")
        )
        cursor.execute("UPDATE quotes_quoterevision SET state = 'declined', accepted_name = '', accepted_at = NULL")
    assert "accepted no quote" in reasons(proved, owner)


@pytest.mark.django_db
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(data=st.data())
def test_no_mix_of_missing_and_failed_checks_leaves(data, proved, owner, technician):
    """On real rows: whatever is left out or fails, the job is not released."""
    with transaction.atomic():
        job = proved
        keys = sorted(CheckRow.objects.filter(job=job).values_list("key", flat=True))
        failed = data.draw(st.sets(st.sampled_from(keys), max_size=3))
        gone = data.draw(st.sets(st.sampled_from(keys), max_size=3)) - failed
        for number, key in enumerate(sorted(failed)):
            check = CheckRow.objects.get(job=job, key=key)
            bad = bad_reading(check)
            record_reading(check=check, told=bad, by=technician, at=LATER, key=f"bad{job.pk}.{number}")
        CheckRow.objects.filter(job=job, key__in=gone).update(latest=None)
        if failed | gone:
            with pytest.raises(RefusedError):
                release(job, owner)
        else:
            assert release(job, owner).number == 1
        transaction.set_rollback(True)


def test_a_second_release_is_the_next_revision_and_leaves_the_first_alone(proved, owner, office):
    first = release(proved, owner)
    before = first.content
    proved.vehicle.plate = "NEW 1"
    proved.vehicle.save()
    second = release(proved, office)
    assert (second.number, second.released_name) == (2, "Otto Ledger, office")
    first.refresh_from_db()
    assert first.content == before
    assert read_record(first.content).content.chart.plate == "TY 620"
    assert read_record(second.content).content.chart.plate == "NEW 1"


def test_nothing_is_released_twice_while_nothing_has_changed(client, proved, owner):
    made = release(proved, owner)
    with pytest.raises(RefusedError, match="Nothing has changed since revision 1"):
        release(proved, owner)
    assert [one.pk for one in Handover.objects.all()] == [made.pk]
    client.force_login(owner)
    page = client.get(reverse("handover:handover", args=[proved.pk])).content.decode()
    assert "Nothing has changed since revision 1." in page
    assert "Release as revision" not in page
    proved.vehicle.plate = "NEW 1"
    proved.vehicle.save()
    page = client.get(reverse("handover:handover", args=[proved.pk])).content.decode()
    assert "Something has changed since revision 1." in page
    assert "Release as revision 2" in page


def test_release_pressed_twice_makes_one_handover(proved, owner):
    release(proved, owner, expected=1)
    with pytest.raises(RefusedError, match="released meanwhile"):
        release(proved, owner, expected=1)
    assert Handover.objects.count() == 1


def test_what_was_handed_over_cannot_be_changed_by_any_door(proved, owner):
    made = release(proved, owner)
    paper_of(made, PaperKind.CARD, at=LATER)
    for act in (
        made.save,
        made.delete,
        lambda: Handover.objects.update(released_name="Eve"),
        lambda: Handover.objects.all().delete(),
        lambda: HandoverPaper.objects.update(pdf=b""),
        lambda: HandoverPaper.objects.all().delete(),
    ):
        with pytest.raises(ValidationError):
            act()
    for statement in (
        "UPDATE handover_handover SET released_name = 'Eve'",
        "UPDATE handover_handover SET content = '{}'",
        "DELETE FROM handover_handoverpaper",
        "UPDATE handover_handoverpaper SET pdf = NULL",
        "DELETE FROM handover_handover",
    ):
        with pytest.raises(DatabaseError, match="handed over"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)


def test_record_keeps_the_data_it_was_made_from(proved, owner):
    made = release(proved, owner)
    record = read_record(made.content)
    assert {row["circuit"] for row in record.plan["circuits"]} == {one.circuit for one in record.content.circuits}
    assert json.loads(made.content)["content"]["plan_version"] == proved.plan.version


def test_papers_are_made_as_soon_as_the_release_is_stored(proved, owner, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        made = release(proved, owner)
    assert set(made.papers.values_list("kind", flat=True)) == set(PaperKind.values)


def test_papers_of_a_release_are_made_once(proved, owner):
    made = release(proved, owner)
    first = paper_of(made, PaperKind.SHEET, at=LATER)
    assert bytes(first.pdf).startswith(b"%PDF")
    assert paper_of(made, PaperKind.SHEET, at=LATER).pk == first.pk


def test_page_tells_the_reasons_and_releases(client, job, office, technician):
    client.force_login(office)
    url = reverse("handover:handover", args=[job.pk])
    assert "The vehicle may not leave yet." in client.get(url).content.decode()
    prove(job, technician)
    page = client.get(url)
    assert "Nothing stands against the release." in page.content.decode()
    answer = client.post(reverse("handover:release", args=[job.pk]), {"expected": 1, "seen": "on"}, follow=True)
    assert "Handover sheet revision 1 is ready to sign." in answer.content.decode()
    for kind in PaperKind.values:
        paper = client.get(reverse("handover:paper", args=[job.pk, 1, kind]))
        assert paper["Content-Type"] == "application/pdf"


def test_page_refuses_a_release_with_reasons_and_keeps_nothing(client, job, office):
    client.force_login(office)
    answer = client.post(reverse("handover:release", args=[job.pk]), {"expected": 1, "seen": "on"}, follow=True)
    assert "No check has been made" in answer.content.decode()
    assert not Handover.objects.exists()


def test_release_asks_whether_the_sheet_was_read(client, proved, office):
    client.force_login(office)
    answer = client.post(reverse("handover:release", args=[proved.pk]), {"expected": 1})
    assert answer.status_code == 400
    assert not Handover.objects.exists()


def test_page_costs_the_same_queries_with_more_checks_and_faults(
    client, proved, office, technician, django_assert_max_num_queries
):
    client.force_login(office)
    url = reverse("handover:handover", args=[proved.pk])
    client.get(url)
    with django_assert_max_num_queries(22):
        client.get(url)
    for number in range(20):
        symptom = Symptom(f"lamp {number} dim", Weight.COMFORT)
        raise_fault(job=proved, symptom=symptom, by=technician, at=AT, key=f"f{number}")
    with django_assert_max_num_queries(22):
        client.get(url)


def test_draft_says_that_it_is_one(proved):
    content = draft_of(proved, at=AT, job_url=URL).record.content
    assert content.is_draft
    assert content.chart.revision == "1 draft"
