"""Forms of customers, vehicles and jobs."""

from __future__ import annotations

from django import forms

from shop.jobs.models import Customer, Job, Vehicle

OLDEST_YEAR = 1885  # the first motor vehicles; a typing slip is likelier than anything older
LATEST_YEAR = 2100


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
