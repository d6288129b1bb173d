"""Forms of the punch list. The one that raises a fault asks for no more than is seen in ten seconds."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from circuits.errors import QuantityError, UnreadableError
from circuits.units import parse_reading
from shop.faults.models import CAUSES, MAX_TEXT, Fault, Weight
from shop.faults.photos import Photo, clean_photo
from shop.faults.services import Symptom, Tried

MAX_MINUTES = 24 * 60


class PhotoField(forms.FileField):
    """A photograph, cleaned into a ``Photo``."""

    def __init__(self, **options: Any) -> None:
        widget = forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp", "capture": "environment"})
        super().__init__(widget=widget, **options)

    def clean(self, data: Any, initial: Any = None) -> Photo | None:
        """The picture re-encoded; None where none was taken."""
        upload = super().clean(data, initial)
        if not upload:
            return None
        try:
            return clean_photo(upload, upload.name)
        except UnreadableError as error:
            raise forms.ValidationError(str(error)) from error


class RaiseForm(forms.Form):
    """A fault as it is seen at the vehicle."""

    does = forms.CharField(max_length=300, label="What it does", widget=forms.TextInput(attrs={"autofocus": True}))
    weight = forms.ChoiceField(choices=Weight.choices, widget=forms.RadioSelect, label="How bad", initial=Weight.STOPS)
    circuits = forms.MultipleChoiceField(required=False, label="Circuits")
    photo = PhotoField(required=False, label="Photo")
    switches = forms.CharField(
        max_length=200, required=False, label="Switches", help_text="Position of every switch that matters."
    )
    should = forms.CharField(max_length=300, required=False, label="What it should do")
    suspects = forms.CharField(
        max_length=MAX_TEXT, required=False, label="Suspects", widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, circuits: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["circuits"].choices = [(name, name) for name in circuits]  # type: ignore[attr-defined]

    def symptom(self) -> Symptom:
        """What the valid form says."""
        data = self.cleaned_data
        return Symptom(
            does=data["does"], weight=data["weight"], switches=data["switches"], should=data["should"],
            circuits=tuple(data["circuits"]), suspects=data["suspects"],
        )  # fmt: skip


class PhotoForm(forms.Form):
    """One more photograph."""

    photo = PhotoField(label="Photo")


class TriedForm(forms.Form):
    """A test, or the re-test."""

    what = forms.CharField(max_length=300, label="What was done")
    reading = forms.CharField(
        max_length=60, required=False, label="Reading", help_text="With its unit: 11.9 V, 0.4 ohm."
    )
    minutes = forms.IntegerField(min_value=0, max_value=MAX_MINUTES, required=False, label="Minutes spent")
    photo = PhotoField(required=False, label="Photo")
    result = forms.ChoiceField(
        choices=[("", "a test on the way"), ("passed", "the re-test: passed"), ("failed", "the re-test: failed")],
        required=False,
        label="This is",
    )

    def clean_reading(self) -> tuple[str, float | None, str]:
        """Text, value and unit of the reading."""
        typed: str = self.cleaned_data["reading"].strip()
        if not typed:
            return "", None, ""
        try:
            value, unit = parse_reading(typed)
        except QuantityError as error:
            raise forms.ValidationError(str(error)) from error
        return typed, value, unit

    def tried(self) -> Tried:
        """What the valid form says."""
        data = self.cleaned_data
        typed, value, unit = data["reading"]
        passed = {"passed": True, "failed": False}.get(data["result"])
        return Tried(data["what"], typed, value, unit, passed, data["minutes"] or 0, data["photo"])


class DescribeForm(forms.ModelForm):
    """What is said of a fault."""

    class Meta:
        model = Fault
        fields = ["does", "should", "switches", "weight", "suspects", "cause", "remedy", "advice"]
        labels = {
            "does": "What it does",
            "should": "What it should do",
            "weight": "How bad",
            "advice": "Advice to the owner",
        }
        widgets = {name: forms.Textarea(attrs={"rows": 2}) for name in ("suspects", "cause", "remedy", "advice")}


class CloseForm(forms.Form):
    """Cause and remedy."""

    cause_kind = forms.ChoiceField(
        choices=[("", "not said"), *CAUSES],
        required=False,
        label="Kind of cause",
        help_text="The fault finder learns from it.",
    )
    cause = forms.CharField(max_length=MAX_TEXT, widget=forms.Textarea(attrs={"rows": 2}))
    remedy = forms.CharField(max_length=MAX_TEXT, widget=forms.Textarea(attrs={"rows": 2}))
