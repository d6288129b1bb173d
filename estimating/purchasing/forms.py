"""Forms of purchasing."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Any
from uuid import uuid4

from django import forms

from circuits.errors import LoomwrightError
from circuits.units import parse_length_m
from estimating.buying.kinds import BuyingError, Measure
from estimating.buying.week import Offer, PriceBreak
from estimating.pricing.money import rounded
from estimating.purchasing.models import BuyingRow, OfferRow, OrderLineRow, SupplierRow
from estimating.purchasing.offers import BreakText
from estimating.purchasing.receiving import MAX_PACKS, Came
from estimating.purchasing.rules_store import pairs_of, settings_of
from estimating.stock.forms import MaterialChoice
from estimating.stock.kinds import measure_of, whole

MONEY_OF_SUPPLIER = ("min_order", "carriage", "carriage_free_from")


class SupplierForm(forms.ModelForm):
    """A supplier and their terms."""

    class Meta:
        model = SupplierRow
        fields = (
            "name", "address", "email", "phone", "account", "min_order", "carriage", "carriage_free_from", "is_used",
        )  # fmt: skip
        labels = {"min_order": "Least order"}
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency = currency
        for name in MONEY_OF_SUPPLIER:
            amount = self.initial.get(name)
            if amount is not None and amount == rounded(amount := Decimal(amount), currency):
                self.initial[name] = rounded(amount, currency)

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for name in MONEY_OF_SUPPLIER:
            amount = data.get(name)
            if amount is not None and amount != rounded(amount, self.currency):
                self.add_error(name, f"whole in the smallest coin of {self.currency} is expected")
        return data


class OfferForm(MaterialChoice, forms.ModelForm):
    """A pack or roll that a supplier sells."""

    roll = forms.CharField(
        label="Length of a roll", required=False, max_length=20, help_text="What is sold by length, e.g. 25 or 100 ft"
    )
    prices = forms.CharField(
        max_length=400,
        help_text="Of one pack or roll; with breaks: 1: 9.50, 10: 8.90 (from so many packs on)",
    )

    class Meta:
        model = OfferRow
        fields = ("part_number", "pack", "multiple", "lead_days", "is_used")
        labels = {
            "pack": "Pieces in a pack",
            "multiple": "Sold in multiples of",
            "lead_days": "Lead time, working days",
        }

    field_order = ("kind", "spec", "insulation_c", "part_number", "roll", "pack", "prices", "multiple", "lead_days")

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency = currency

    def clean_roll(self) -> int | None:
        text = self.cleaned_data["roll"].strip()
        if not text:
            return None
        try:
            return whole(Measure.CUTS, parse_length_m(text))
        except LoomwrightError as error:
            raise forms.ValidationError(str(error)) from None

    def clean_prices(self) -> tuple[PriceBreak, ...]:
        try:
            return BreakText(self.currency).read(self.cleaned_data["prices"])
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if self.errors:
            return data
        is_length = measure_of(data["kind"]) is not Measure.PARTS
        if is_length and not data["roll"]:
            self.add_error("roll", "the length of the roll is expected: this is sold by length")
            return data
        if not is_length:
            data["roll"] = None
        data["pack"] = 1 if is_length else data["pack"]
        try:
            length_m = data["roll"] / 1000 if data["roll"] else None
            Offer("offer", "x", "x", data["prices"], length_m, data["pack"], data["lead_days"], data["multiple"])
        except BuyingError as error:
            self.add_error("prices", str(error))
        return data


class BuyingForm(forms.ModelForm):
    """How the shop buys and cuts."""

    class Meta:
        model = BuyingRow
        fields = (
            "horizon_days", "days_before_start", "time_limit_s", "blade_loss_mm", "min_offcut_mm", "may_be_thicker",
            "max_area_ratio", "must_fit_terminal", "colours", "pairs", "workdays", "holidays",
        )  # fmt: skip
        labels = {
            "horizon_days": "Days ahead",
            "days_before_start": "Working days before a job starts",
            "time_limit_s": "Time limit, seconds",
            "blade_loss_mm": "Blade loss, mm",
            "min_offcut_mm": "Least useful offcut, mm",
            "may_be_thicker": "A thicker wire may stand in",
            "max_area_ratio": "At most so many times as thick",
            "must_fit_terminal": "It must fit the same terminals",
            "colours": "Colours that may stand in",
            "pairs": "Things that may stand in, one by one",
        }

    def _pairs(self, name: str) -> str:
        text: str = self.cleaned_data[name]
        try:
            pairs_of(text)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None
        return text

    def clean_colours(self) -> str:
        return self._pairs("colours")

    def clean_pairs(self) -> str:
        return self._pairs("pairs")

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for name, default in (("workdays", "12345"), ("holidays", "")):
            row = BuyingRow(**{name: data.get(name, default)})
            try:
                settings_of(row, "EUR")
            except ValueError as error:
                self.add_error(name, str(error))
        return data


class StartRunForm(forms.Form):
    """What a planning is asked."""

    with_likely = forms.BooleanField(label="Include jobs that are only likely", required=False)
    lets_dates_move = forms.BooleanField(label="Order late what cannot come in time", required=False)


class NoteForm(forms.Form):
    """A few words to the supplier."""

    note = forms.CharField(
        label="A few words to the supplier", max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )


class PacksForm(forms.Form):
    """How many packs of each line of a draft are ordered."""

    def __init__(self, data: Any, lines: list[OrderLineRow]) -> None:
        super().__init__(data)
        self.lines = lines
        for line in lines:
            self.fields[f"packs-{line.pk}"] = forms.IntegerField(
                label=f"Packs of {line.material}", min_value=0, max_value=MAX_PACKS, initial=line.packs
            )

    def packs(self) -> dict[int, int]:
        """Packs by the key of the line."""
        return {line.pk: self.cleaned_data[f"packs-{line.pk}"] for line in self.lines}

    def rows(self) -> list[tuple[OrderLineRow, forms.BoundField]]:
        """Each line with its field."""
        return [(line, self[f"packs-{line.pk}"]) for line in self.lines]


class ReceiveForm(forms.Form):
    """What came, line by line; starts from what is still to come."""

    token = forms.CharField(max_length=40, widget=forms.HiddenInput)
    note_number = forms.CharField(label="Number of their delivery note", max_length=60, required=False)

    def __init__(self, data: Any, lines: list[OrderLineRow]) -> None:
        super().__init__(data, initial={"token": uuid4().hex})
        self.lines = lines
        for line in lines:
            due = max(0, line.packs - line.came_packs)
            packs = forms.IntegerField(
                label=f"Packs of {line.material} that came",
                min_value=0,
                max_value=MAX_PACKS,
                initial=due,
                required=False,
            )
            self.fields[f"packs-{line.pk}"] = packs
            self.fields[f"price-{line.pk}"] = forms.CharField(
                label=f"Price of {line.material}, if it differs", max_length=20, required=False
            )

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        for line in self.lines:
            text = (data.get(f"price-{line.pk}") or "").strip()
            try:
                price = Decimal(text) if text else None
            except InvalidOperation:
                price = Decimal(-1)
            if price is not None and not (price.is_finite() and 0 <= price < 10**9):
                self.add_error(f"price-{line.pk}", "a price such as 9.50 is expected")
            data[f"price-{line.pk}"] = price
        return data

    def came(self) -> dict[int, Came]:
        """What came, by the key of the line."""
        return {
            line.pk: Came(
                self.cleaned_data[f"packs-{line.pk}"] or 0,
                None if self.cleaned_data[f"price-{line.pk}"] == line.price else self.cleaned_data[f"price-{line.pk}"],
            )
            for line in self.lines
        }

    def rows(self) -> list[tuple[OrderLineRow, forms.BoundField, forms.BoundField]]:
        """Each line with its two fields."""
        return [(line, self[f"packs-{line.pk}"], self[f"price-{line.pk}"]) for line in self.lines]
