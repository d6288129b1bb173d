"""The bench's second question: what takes the place of an old fuse or an old lamp."""

from __future__ import annotations

from typing import Any

from django import forms

from circuits.electrical.lamps import LedForLamp, filament_lamp, led_for
from circuits.electrical.old_fuses import NewForOld, new_for_old, old_fuses
from circuits.errors import QuantityError, TableError
from circuits.rules import SizingRules
from circuits.units import parse_current_a

_DIGITS = forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"})
MAX_OLD_A = 100.0


class OldFuseForm(forms.Form):
    """An old fuse as marked, and what it carries where that is known."""

    prefix = "old"
    kind = forms.ChoiceField(label="Old fuse", choices=[(old.kind, old.kind) for old in old_fuses()])
    rating = forms.CharField(label="Marked A", help_text="As on its cap or body.", max_length=20, widget=_DIGITS)
    load = forms.CharField(
        label="Load A", help_text="Continuous; blank: not known.", max_length=20, required=False, widget=_DIGITS
    )

    def __init__(self, asked: Any, rules: SizingRules) -> None:
        super().__init__(asked if "old-rating" in asked else None)
        self._rules = rules
        self.answer: NewForOld | None = None

    def clean(self) -> dict[str, Any]:
        """Read the currents; find the fuse of the shop's margin."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        rating_a, load_a = self._current("rating"), self._current("load")
        if not self.errors and rating_a is not None:
            self.answer = new_for_old(cleaned["kind"], rating_a, load_a, self._rules.continuous_share)
        return cleaned

    def _current(self, name: str) -> float | None:
        text = self.cleaned_data.get(name) or ""
        if not text.strip():
            return None
        try:
            value = parse_current_a(text)
        except QuantityError as error:
            self.add_error(name, str(error))
            return None
        if not 0 < value <= MAX_OLD_A:
            self.add_error(name, f"expected a current above 0 and at most {MAX_OLD_A:g} A")
        return value


class OldLampForm(forms.Form):
    """A filament lamp by what it is called."""

    prefix = "lamp"
    name = forms.CharField(
        label="Filament lamp",
        help_text="Category or trade number: P21W, 1157.",
        max_length=20,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, asked: Any) -> None:
        super().__init__(asked if "lamp-name" in asked else None)
        self.answer: LedForLamp | None = None

    def clean_name(self) -> str:
        """Find the lamp, and the LED of its light."""
        name = str(self.cleaned_data["name"])
        try:
            self.answer = led_for(filament_lamp(name))
        except TableError as error:
            raise forms.ValidationError(str(error)) from None
        return name
