"""The circuit sheet of a plan in and out through the browser."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from circuits.fittings import Cavity, Connector
from circuits.planning.models import PlanRow
from circuits.planning.new_plan import NewPlanForm
from circuits.planning.services import FromSheet, new_plan
from circuits.planning.store import create_plan, load_plan, replace_plan
from circuits.sheets import read_sheet, write_csv_zip, write_json, write_xlsx
from tests.circuits.cast import FUEL, HORN, marsh_hare
from tests.circuits.planning.cast import client_of, marsh_plan

pytestmark = pytest.mark.django_db

LOUDER = replace(
    marsh_hare(replace(HORN, load_a=9.0), replace(HORN, name="bell")),
    circuits=tuple(c for c in marsh_hare(replace(HORN, load_a=9.0), replace(HORN, name="bell")).circuits if c != FUEL),
)


def url(plan: PlanRow) -> str:
    return reverse("planning:sheet", args=[plan.pk])


def upload(client: Client, plan: PlanRow, *files: tuple[str, bytes]) -> Any:
    return client.post(url(plan), {"file": [SimpleUploadedFile(name, data) for name, data in files]})


@pytest.mark.parametrize(
    ("name", "write"), [("plan.xlsx", write_xlsx), ("plan.zip", write_csv_zip), ("plan.json", write_json)]
)
def test_upload_shows_what_it_changes_before_anything_is_stored(name: str, write: Any) -> None:
    plan = marsh_plan()
    answer = upload(client_of("office"), plan, (name, write(LOUDER)))
    circuits = answer.context["lists"][3]
    assert (circuits.added, circuits.dropped, circuits.same) == (("bell",), ("fuel level",), 4)
    assert [(f.label, f.before, f.after) for f in circuits.altered[0].fields] == [("A each", "5", "9")]
    assert load_plan(plan.pk) == marsh_hare()


def put(answer: Any, **more: str) -> dict[str, str]:
    return {"put": "1", "waiting": answer.context["waiting"], "version": str(answer.context["plan"].version), **more}


def test_sheet_is_put_in_place_once_confirmed() -> None:
    plan = marsh_plan()
    client = client_of("office")
    answer = upload(client, plan, ("plan.xlsx", write_xlsx(LOUDER)))
    assert client.post(url(plan), put(answer)).status_code == 302
    assert load_plan(plan.pk) == LOUDER


def test_plan_changed_meanwhile_is_not_written_over_but_compared_anew() -> None:
    plan = marsh_plan()
    client = client_of("office")
    answer = upload(client, plan, ("plan.xlsx", write_xlsx(LOUDER)))
    changed = marsh_hare(replace(HORN, load_a=7.0))
    replace_plan(plan_id=plan.pk, plan=changed, expected_version=1, by="Ada")
    again = client.post(url(plan), put(answer))
    assert "Ada" in again.content.decode()
    assert load_plan(plan.pk) == changed


def test_every_place_that_cannot_be_read_is_listed_and_nothing_stored() -> None:
    plan = marsh_plan()
    sheet = json.loads(write_json(marsh_hare()))
    sheet["circuits"][3]["load_a"] = "lots"
    sheet["circuits"][4]["kind"] = "magic"
    sheet["runs"][0]["length"] = "far"
    answer = upload(client_of("office"), plan, ("plan.json", json.dumps(sheet).encode()))
    assert answer.status_code == 422
    assert [(f.sheet, f.column, f.value) for f in answer.context["faults"]] == [
        ("runs", "length", "far"), ("circuits", "load_a", "lots"), ("circuits", "kind", "magic"),
    ]  # fmt: skip
    assert "lots" in answer.content.decode()
    assert load_plan(plan.pk) == marsh_hare()


def test_several_csv_files_make_one_sheet() -> None:
    import io
    import zipfile

    plan = marsh_plan()
    with zipfile.ZipFile(io.BytesIO(write_csv_zip(LOUDER))) as archive:
        files = [(name, archive.read(name)) for name in archive.namelist()]
    answer = upload(client_of("office"), plan, *files)
    assert answer.context["lists"][3].added == ("bell",)


def test_circuits_alone_keep_the_loom_the_plan_has() -> None:
    plan = marsh_plan()
    client = client_of("office")
    alone = json.dumps({"circuits": json.loads(write_json(LOUDER))["circuits"]}).encode()
    answer = upload(client, plan, ("plan.json", alone))
    assert "keep the vehicle, zones and runs" in answer.content.decode()
    client.post(url(plan), put(answer, keep_loom="on"))
    assert load_plan(plan.pk) == LOUDER


def test_a_sheet_without_fittings_keeps_those_the_plan_has_where_that_is_ticked() -> None:
    body, cavity = Connector("C1", "panel"), Cavity("C1", "1", "horn")
    fitted = replace(marsh_hare(), connectors=(body,), cavities=(cavity,))
    client = client_of("office")
    for ticked, kept in (({"keep_fittings": "on"}, (body,)), ({}, ())):
        plan = create_plan(title="fitted", plan=fitted, by="owner")
        answer = upload(client, plan, ("plan.json", write_json(LOUDER)))
        assert "keep those the plan has" in answer.content.decode()
        client.post(url(plan), put(answer, **ticked))
        assert load_plan(plan.pk) == replace(LOUDER, connectors=kept, cavities=(cavity,) if kept else ())


@pytest.mark.parametrize(
    "files",
    [
        [],
        [("plan.txt", b"\x00\x01")],
        [("a.csv", b"circuit\n"), ("b.json", b"{}")],
        [("plan.json", b"{")],
        [("plan.json", b"x" * (6 * 1024 * 1024))],
    ],
)
def test_files_that_are_no_sheet_are_refused_in_words(files: list[tuple[str, bytes]]) -> None:
    plan = marsh_plan()
    answer = upload(client_of("office"), plan, *files)
    assert answer.status_code == 422
    assert "Nothing was stored" in answer.content.decode()


@pytest.mark.parametrize("file_format", ["xlsx", "csv", "json"])
def test_download_reads_back_as_the_same_plan(file_format: str) -> None:
    plan = marsh_plan()
    answer = client_of("technician").get(reverse("planning:sheet_file", args=[plan.pk, file_format]))
    assert "marsh-hare-circuits" in answer["Content-Disposition"]
    assert read_sheet(("sheet", answer.content)) == marsh_hare()


def test_unknown_format_is_not_found_and_the_empty_sheet_is_a_workbook() -> None:
    client = client_of("technician")
    assert client.get(reverse("planning:sheet_file", args=[marsh_plan().pk, "pdf"])).status_code == 404
    assert client.get(reverse("planning:sheet_template")).content[:2] == b"PK"


def test_technician_brings_nothing_in() -> None:
    plan = marsh_plan()
    assert upload(client_of("technician"), plan, ("plan.json", write_json(LOUDER))).status_code == 403


def new_plan_form(**fields: Any) -> NewPlanForm:
    sheet = fields.pop("file", None)
    return NewPlanForm(fields, {"file": sheet} if sheet else None)


def test_new_plan_from_a_starter_a_sheet_a_copy_and_nothing() -> None:
    sheet = SimpleUploadedFile("plan.json", write_json(LOUDER))
    other = new_plan(title="other", source=FromSheet(LOUDER), by="owner")
    forms = [
        new_plan_form(source="pickup"),
        new_plan_form(source="sheet", file=sheet),
        new_plan_form(source="plan", plan=str(other.pk)),
        new_plan_form(source="nothing"),
    ]
    assert all(form.is_valid() for form in forms)
    pickup, from_sheet, copy, empty = (
        load_plan(new_plan(title="x", source=form.plan_source, by="owner").pk) for form in forms
    )
    assert len(pickup.circuits) > 20
    assert from_sheet == copy == LOUDER
    assert empty.circuits == ()


def test_new_plan_from_a_broken_sheet_lists_its_faults() -> None:
    form = new_plan_form(source="sheet", file=SimpleUploadedFile("plan.json", b'{"circuits": [{"circuit": "horn"}]}'))
    assert not form.is_valid()
    assert len(form.faults) > 3


@pytest.mark.parametrize(("source", "field"), [("plan", "plan"), ("sheet", "file"), ("spaceship", "source")])
def test_new_plan_says_what_is_missing(source: str, field: str) -> None:
    form = new_plan_form(source=source)
    assert not form.is_valid()
    assert field in form.errors
