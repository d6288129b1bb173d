"""The database itself refuses to change what was noted at the vehicle."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.db import DatabaseError, connection, transaction

from shop.faults.models import Kept, Weight
from shop.faults.services import Symptom, raise_fault
from shop.proof.models import CheckRow
from shop.proof.services import Told, make_sheet, record_reading
from tests.shop.floor.cast import hour, package, tap


def test_every_kind_of_kept_row_is_guarded():
    kept = {model._meta.label for model in apps.get_models() if issubclass(model, Kept)}
    assert {"proof.Reading", "proof.BatteryAct", "floor.Tap", "floor.HoursCorrection", "faults.FaultTest"} <= kept


def test_rows_written_past_the_models_stay_as_they_are(job, tessa):
    tap(tessa, "start", hour(0), package(job, "pull", "front"))
    make_sheet(job=job, by=tessa, at=hour(0))
    check = CheckRow.objects.get(job=job, key="ground dash")
    record_reading(check=check, told=Told("20 mohm"), by=tessa, at=hour(1), key="reading1")
    raise_fault(job=job, symptom=Symptom("x", Weight.STOPS), by=tessa, at=hour(1), key="faultkey")
    changes = (
        "proof_reading SET passed = NOT passed",
        "floor_tap SET at = came_at",
        "faults_faultevent SET words = ''",
    )
    for change in changes:
        with pytest.raises(DatabaseError, match="what was noted cannot be changed"), transaction.atomic():
            connection.cursor().execute(f"UPDATE {change}")
