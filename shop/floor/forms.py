"""Forms of the floor."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone

from shop.floor.corrections import CORRECT_ALL, Worked
from shop.floor.models import Hold, HoursEntry, Package
from shop.jobs.models import Job
from shop.people.models import User

CLOCK = "%Y-%m-%dT%H:%M"


def _clock(label: str, *, required: bool = True) -> forms.DateTimeField:
    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=CLOCK)
    return forms.DateTimeField(
        label=label, widget=widget, input_formats=[CLOCK, "%Y-%m-%dT%H:%M:%S"], required=required
    )


class HoursForm(forms.Form):
    """What an entry should say, and why."""

    who = forms.ModelChoiceField(User.objects.filter(is_active=True), label="Who", empty_label=None)
    package = forms.ModelChoiceField(Package.objects.none(), label="Package")
    start = _clock("From")
    stop = _clock("To", required=False)
    strike = forms.BooleanField(required=False, label="Strike it out: nothing was worked")
    reason = forms.CharField(max_length=300, label="Reason", help_text="Kept with what it said before.")

    def __init__(self, *args: Any, job: Job, by: User, entry: HoursEntry | None = None, **kwargs: Any) -> None:
        kwargs["initial"] = {"who": by.pk}
        if entry is not None:
            kwargs["initial"] = {
                "package": entry.package_id,
                "start": timezone.localtime(entry.started_at),
                "stop": timezone.localtime(entry.stopped_at) if entry.stopped_at else None,
                "strike": entry.is_struck,
            }
        super().__init__(*args, **kwargs)
        self.fields["package"].queryset = job.packages.order_by("position")  # type: ignore[attr-defined]
        self.by = by
        if entry is not None or not by.has_perm(CORRECT_ALL):
            del self.fields["who"]
        if entry is None:
            del self.fields["strike"]
            self.fields["stop"].required = True

    @property
    def person(self) -> User:
        """Whose hours the valid form adds: one's own, unless one may enter those of others."""
        found: User = self.cleaned_data.get("who", self.by)
        return found

    def worked(self) -> Worked:
        """What the valid form says. Clock fields show minutes; the seconds that they hide are cut off."""
        data = self.cleaned_data
        return Worked(data["package"], data["start"], data["stop"], bool(data.get("strike")))


class HoldForm(forms.Form):
    """What a package waits for."""

    cause = forms.ChoiceField(choices=Hold.Cause.choices, label="It is")
    words = forms.CharField(max_length=200, required=False, label="For what", help_text="Part, supplier, day.")


class OrderForm(forms.Form):
    """One package before another."""

    first = forms.ModelChoiceField(Package.objects.none(), label="First")
    then = forms.ModelChoiceField(Package.objects.none(), label="Then")
    why = forms.CharField(max_length=200, label="Why")

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = job.packages.filter(is_current=True).order_by("position")
        for name in ("first", "then"):
            self.fields[name].queryset = rows  # type: ignore[attr-defined]


class PersonForm(forms.Form):
    """Who does a package."""

    person = forms.ModelChoiceField(
        User.objects.filter(is_active=True), required=False, label="Who", empty_label="nobody yet"
    )


def this_monday() -> date:
    """Monday of the present week, by the shop's clock."""
    today = timezone.localdate()
    return today - timedelta(days=today.weekday())
