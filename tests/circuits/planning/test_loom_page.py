"""The loom page: vehicle, zones, runs."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from django.urls import reverse

from circuits.electrical.sizing import size_plan
from circuits.plan import Run
from circuits.planning.loom_page import loom_notes
from circuits.planning.models import PlanChange, PlanRow
from circuits.planning.store import load_plan
from tests.circuits.cast import HORN, RUNS, marsh_hare
from tests.circuits.planning.cast import client_of, form_of, marsh_plan

pytestmark = pytest.mark.django_db


def url(plan: PlanRow) -> str:
    return reverse("planning:loom", args=[plan.pk])


def test_vehicle_is_stored() -> None:
    plan = marsh_plan()
    client = client_of("office")
    data = form_of(client, url(plan)) | {"system_v": "24", "battery_ah": "70", "chassis_resistance_mohm": "8"}
    assert client.post(url(plan), data).status_code == 302
    vehicle = load_plan(plan.pk).vehicle
    assert (vehicle.system_v, vehicle.battery_ah, vehicle.chassis_resistance_ohm) == (24.0, 70.0, 0.008)
    assert PlanChange.objects.filter(plan=plan, what="vehicle changed").count() == 1


def test_vehicle_changed_elsewhere_is_not_written_over_unseen() -> None:
    plan = marsh_plan()
    client = client_of("office")
    data = form_of(client, url(plan))
    client.post(url(plan), data | {"battery_ah": "70"})
    answer = client.post(url(plan), data | {"battery_ah": "90"})
    assert "changed the vehicle meanwhile" in answer.content.decode()
    assert load_plan(plan.pk).vehicle.battery_ah == 70.0
    again = {field.name: field.value() or "" for field in answer.context["form"]}
    assert client.post(url(plan), again).status_code == 302
    assert load_plan(plan.pk).vehicle.battery_ah == 90.0


def test_vehicle_that_cannot_be_read_keeps_its_text() -> None:
    plan = marsh_plan()
    client = client_of("office")
    html = client.post(url(plan), form_of(client, url(plan)) | {"alternator_a": "strong"}).content.decode()
    assert 'value="strong"' in html
    assert "expected a current" in html


def test_runs_are_stored_from_the_grid() -> None:
    plan = marsh_plan()
    client = client_of("office")
    row = client.get(url(plan)).context["runs"]["rows"][0]
    names = ["from", "to", "length", "zone", "covering", "opening_mm", "moves", "notes"]
    cells = dict(zip(names, row["cells"], strict=True)) | {"length": "3 ft"}
    body = {"known": 1, "rows": [{"key": "r", "id": row["id"], "version": 1, "after": 0, "cells": cells}]}
    address = reverse("planning:save_rows", args=[plan.pk, "runs"])
    answer = client.post(address, json.dumps(body), content_type="application/json")
    assert answer.status_code == 200
    assert load_plan(plan.pk).runs[0].length_m == pytest.approx(0.9144)
    assert answer.json()["rows"]["r"]["cells"][2] == "0.9144"


def test_places_to_look_at_are_named() -> None:
    runs = (*RUNS, Run("hitch", "trailer", 1.0), Run("dash", "glovebox", 0.4))
    plan = marsh_hare(replace(HORN, load_at=("bonnet",)), runs=runs)
    notes = loom_notes(plan, size_plan(plan))
    assert notes.unknown == ("bonnet",)
    assert notes.apart == (("hitch", "trailer"),)
    assert set(notes.unused_runs) >= {"hitch to trailer", "dash to glovebox"}


def test_technician_reads_only() -> None:
    plan = marsh_plan()
    client = client_of("technician")
    assert client.get(url(plan)).context["runs"]["canEdit"] is False
    assert client.post(url(plan), {"title": "x"}).status_code == 403
