"""Forms of customers, vehicles and jobs."""

from __future__ import annotations

from typing import Any

from django import forms

from circuits.errors import UnreadableError
from circuits.planning.services import FromNothing, FromSheet, FromStarter, Source
from circuits.sheets import read_sheet
from circuits.sheets.starters import STARTERS
from shop.jobs.models import Customer, Job, Vehicle

OLDEST_YEAR = 1885  # the first motor vehicles; a typing slip is likelier than anything older
LATEST_YEAR = 2100
NOTHING, SHEET = "nothing", "sheet"


class CustomerForm(forms.ModelForm):
    """Who pays."""

    class Meta:
        model = Customer
        fields = ["name", "phone", "email", "address", "notes"]
        widgets = {"address": forms.Textarea(attrs={"rows": 3}), "notes": forms.Textarea(attrs={"rows": 3})}
        help_texts = {"address": "As a letter would carry it; printed on the quote."}


class VehicleForm(forms.ModelForm):
    """What is rewired."""

    class Meta:
        model = Vehicle
        fields = ["description", "year", "plate", "chassis_number"]
        labels = {"description": "Vehicle"}

    def clean_year(self) -> int | None:
        """A year in which vehicles were made."""
        year: int | None = self.cleaned_data["year"]
        if year is not None and not OLDEST_YEAR <= year <= LATEST_YEAR:
            raise forms.ValidationError(f"Found {year}, expected a year from {OLDEST_YEAR} to {LATEST_YEAR}.")
        return year

    def clean_plate(self) -> str:
        """Capitals, single spaces: one plate is found however it was typed."""
        return " ".join(self.cleaned_data["plate"].upper().split())

    def clean_chassis_number(self) -> str:
        """Capitals, no spaces."""
        return "".join(self.cleaned_data["chassis_number"].upper().split())


class JobForm(forms.ModelForm):
    """What the job is and when it starts."""

    class Meta:
        model = Job
        fields = ["title", "what_happened", "starts_on"]
        labels = {"title": "Job", "what_happened": "What happened", "starts_on": "Planned start"}
        widgets = {
            "what_happened": forms.Textarea(attrs={"rows": 3}),
            "starts_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        }
        help_texts = {
            "title": "For example: full rewire after a loom fire.",
            "what_happened": "Fire, shorts, dead circuits, loads to be added, as the customer tells it.",
            "starts_on": "Can be left until the quote is accepted.",
        }


class PlanSourceForm(forms.Form):
    """What the circuit plan starts from: nothing, a starter plan, or a circuit sheet."""

    source = forms.ChoiceField(label="Start the circuit plan from")
    file = forms.FileField(
        required=False,
        label="Circuit sheet",
        help_text="XLSX workbook, zip of CSV files, or JSON. Only read where the plan starts from a circuit sheet.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        starters = [(key, f"Starter plan: {title}") for key, title in STARTERS.items()]
        choices = [(NOTHING, "An empty plan"), *starters, (SHEET, "A circuit sheet file")]
        self.fields["source"].choices = choices  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """Read the sheet, so that every cell it cannot read is told before anything is stored."""
        data: dict[str, Any] = super().clean() or {}
        upload = data.get("file")
        if data.get("source") == SHEET:
            if not upload:
                self.add_error("file", "Choose the file of the circuit sheet.")
            else:
                try:
                    data["sheet"] = read_sheet((upload.name, upload.read()))
                except UnreadableError as error:
                    self.add_error("file", [forms.ValidationError(str(fault)) for fault in error.faults])
        return data

    def plan_source(self) -> Source:
        """What the valid form says the plan starts from."""
        source = self.cleaned_data["source"]
        if source == SHEET:
            return FromSheet(self.cleaned_data["sheet"])
        return FromNothing() if source == NOTHING else FromStarter(source)
