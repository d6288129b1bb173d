"""Forms of quotes and their answers."""

from __future__ import annotations

from typing import Any

from django import forms

from estimating.pricing.quote import LabourBasis
from estimating.quotes.paper_words import basis_words


class StartForm(forms.Form):
    """Whom a new quote is for."""

    addressee = forms.CharField(
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        help_text="Name and address as the paper prints them",
    )
    vehicle = forms.CharField(
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="As the paper names it: what the customer calls it, year, plate",
    )


class DraftForm(StartForm):
    """What is said on the next revision."""

    note = forms.CharField(
        label="A few words to the customer",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Printed on this revision only",
    )
    labour_basis = forms.ChoiceField(label="Hours that are sold", required=False, widget=forms.RadioSelect)

    def __init__(self, *args: Any, usual: LabourBasis, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [("", f"As the terms say: {usual}"), *((basis.value, basis_words(basis)) for basis in LabourBasis)]
        field = self.fields["labour_basis"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices

    def clean_labour_basis(self) -> LabourBasis | None:
        """The basis chosen; None = as the terms say."""
        chosen = self.cleaned_data["labour_basis"]
        return LabourBasis(chosen) if chosen else None


class SendForm(forms.Form):
    """What the sender looked at."""

    expected = forms.IntegerField(min_value=1, widget=forms.HiddenInput)
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)


class AcceptForm(forms.Form):
    """Who accepts."""

    name = forms.CharField(
        label="Name of the customer who accepts", max_length=160, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    agrees = forms.BooleanField(label="The customer has read this revision and accepts it")


class DeclineForm(forms.Form):
    """Why not."""

    reason = forms.CharField(label="Reason", max_length=300, required=False)
