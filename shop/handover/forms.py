"""Forms of a release."""

from __future__ import annotations

from django import forms


class ReleaseForm(forms.Form):
    """What the releaser looked at."""

    expected = forms.IntegerField(min_value=1, max_value=9999, widget=forms.HiddenInput)
    seen = forms.BooleanField(label="I have read the sheet as it stands, with the faults left open")
