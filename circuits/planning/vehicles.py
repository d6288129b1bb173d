"""The vehicle of a plan: its form, and storing it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from django import forms
from django.db import transaction

from circuits.errors import PlanError
from circuits.plan import Vehicle
from circuits.planning import values
from circuits.planning.faces import label_of
from circuits.planning.models import MAX_TITLE, PlanRow
from circuits.planning.store import StalePlanError, locked_plan, log_change, touch
from circuits.sheets.cells import CellError
from circuits.sheets.columns import VEHICLE_KEYS


class VehicleForm(forms.Form):
    """Title of the plan and every key of the sheet's vehicle list."""

    title = forms.CharField(label="Title of the plan", max_length=MAX_TITLE)

    def __init__(self, data: Mapping[str, Any] | None, row: PlanRow) -> None:
        vehicle = values.vehicle_of(row)
        super().__init__(data, initial={"title": row.title, "seen": seen(row)} | vehicle_texts(vehicle))
        self.fields["seen"] = forms.CharField(widget=forms.HiddenInput)
        for key in VEHICLE_KEYS:
            choices = [(choice, choice) for choice in key.choices]
            default = f" Blank: {key.default}." if key.default and not key.choices else ""
            self.fields[key.name] = forms.CharField(
                label=label_of("vehicle", key.name),
                help_text=key.help + default,
                required=False,
                widget=forms.Select(choices=choices) if choices else forms.TextInput(attrs={"autocomplete": "off"}),
            )
        self.vehicle: Vehicle | None = None

    def clean(self) -> dict[str, Any]:
        """Read the keys; what cannot be read stands at its field."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        fields: dict[str, Any] = {}
        for key in VEHICLE_KEYS:
            try:
                fields[key.field] = key.read(cleaned.get(key.name) or "")
            except CellError as error:
                self.add_error(key.name, f"expected {error.expected}")
        if not self.errors:
            try:
                self.vehicle = Vehicle(**fields)
            except PlanError as error:
                self.add_error(None, str(error))
        return cleaned


def vehicle_texts(vehicle: Vehicle) -> dict[str, str]:
    """Texts of a vehicle by key of the sheet."""
    return {key.name: key.write(getattr(vehicle, key.field)) for key in VEHICLE_KEYS}


def seen(row: PlanRow) -> str:
    """Names what title and vehicle are now, to notice somebody else's change of them.

    The plan's version would not do: it rises with each circuit too.
    """
    content = repr((row.title, asdict(values.vehicle_of(row))))
    return hashlib.sha256(content.encode()).hexdigest()[:16]


@transaction.atomic
def save_vehicle(*, plan_id: int, title: str, vehicle: Vehicle, seen_as: str, by: str) -> PlanRow:
    """Store the title and the vehicle of a plan.

    Raises
    ------
    PlanRow.DoesNotExist
    StalePlanError
        Somebody else changed them since they were seen.
    """
    row = locked_plan(plan_id)
    if seen(row) != seen_as:
        raise StalePlanError(f"{row.updated_by or 'Somebody'} changed the vehicle meanwhile")
    before = values.vehicle_fields(values.vehicle_of(row)) | {"title": row.title}
    after = values.vehicle_fields(vehicle) | {"title": title}
    if before != after:
        for name, value in after.items():
            setattr(row, name, value)
        touch(row, by)
        log_change(row, by=by, what="vehicle changed", before=before, after=after)
    return row
