"""Forms of customer links."""

from __future__ import annotations

from django import forms

from shop.links.rules import MOST_DAYS, USUAL_DAYS


class LinkForm(forms.Form):
    """For how long a new address opens."""

    days = forms.IntegerField(
        label="Days it opens",
        min_value=1,
        max_value=MOST_DAYS,
        initial=USUAL_DAYS,
        help_text=f"1 to {MOST_DAYS}; you can revoke it before",
    )


class CustomerAcceptForm(forms.Form):
    """The customer accepts."""

    name = forms.CharField(label="Your name", max_length=160, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    agrees = forms.BooleanField(label="I have read this and accept it")
