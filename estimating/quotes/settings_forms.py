"""Forms of the shop's prices, minutes and terms."""

from __future__ import annotations

from typing import Any

from babel import Locale, UnknownLocaleError
from django import forms

from circuits.errors import PlanError
from estimating.labour.condition import conditions
from estimating.labour.hours import ThreePoint
from estimating.labour.minutes import ElementMinutes, MinutesTable
from estimating.pricing.money import decimals_of
from estimating.quotes.models import PriceRow, TermsRow
from estimating.quotes.takeoff_fields import ALLOWANCES
from estimating.takeoff.rules import TakeoffRules


def plain_number(field: forms.Field) -> None:
    """Has a number typed as text, by phones with their number keys, and says what is expected."""
    field.widget = forms.TextInput(attrs={"inputmode": "decimal"})
    example = "12" if type(field) is forms.IntegerField else "1.25"
    field.error_messages["invalid"] = f"expected a number such as {example}"


class PriceForm(forms.ModelForm):
    """One row of the price book."""

    class Meta:
        model = PriceRow
        fields = ("kind", "spec", "unit", "cost", "markup_percent", "price", "pack", "supplier")
        labels = {"markup_percent": "Markup, %", "price": "Fixed price", "pack": "Pack size"}
        help_texts = {"spec": "End it in * for anything that begins so: 14 AWG*"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.form_id = f"price-{self.instance.pk}"
        for name, field in self.fields.items():
            if isinstance(field, forms.DecimalField):
                plain_number(field)
                if self.instance.pk and (value := getattr(self.instance, name)) is not None:
                    self.initial[name] = f"{value.normalize():f}"
            # Cells of a table row cannot share a form around them: each names its form.
            field.widget.attrs["form"] = self.form_id
            if name == "cost" and self.instance.pk:
                field.widget.attrs["autofocus"] = True


class PriceFileForm(forms.Form):
    """A price list to bring in."""

    file = forms.FileField(
        label="Price list",
        help_text="CSV in UTF-8: kind, spec, unit, cost; and where wanted markup_percent, price, pack, supplier",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv"}),
    )


class PriceListForm(forms.Form):
    """A price list that has been read, to be stored."""

    content = forms.CharField(widget=forms.HiddenInput, max_length=2_000_000, strip=False)
    remove_absent = forms.BooleanField(label="Also take out the rows that the list does not name", required=False)


class MinutesForm(forms.Form):
    """Three-point minutes of every work element."""

    POINTS = ("optimistic", "likely", "pessimistic")

    def __init__(self, *args: Any, table: MinutesTable, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = table.rows
        for index, row in enumerate(table.rows):
            for point in self.POINTS:
                self.fields[f"{point}_{index}"] = forms.FloatField(
                    label=f"{row.element}, {point}",
                    min_value=0,
                    max_value=10_000,
                    initial=f"{getattr(row.minutes, f'{point}_min'):.10g}",
                )
                plain_number(self.fields[f"{point}_{index}"])

    def lines(self) -> list[tuple[ElementMinutes, list[forms.BoundField]]]:
        """Each element with its three fields."""
        return [(row, [self[f"{point}_{index}"] for point in self.POINTS]) for index, row in enumerate(self.rows)]

    def clean(self) -> dict[str, Any]:
        """Gathers ``minutes`` by element; every element whose three do not rise is marked."""
        cleaned = super().clean() or {}
        self.minutes: dict[str, ThreePoint] = {}
        for index, row in enumerate(self.rows):
            points = [cleaned.get(f"{point}_{index}") for point in self.POINTS]
            if None in points:
                continue
            try:
                self.minutes[str(row.element)] = ThreePoint(*points)  # type: ignore[arg-type]
            except PlanError:
                found = ", ".join(f"{point:g}" for point in points if point is not None)
                expected = "minutes that rise from optimistic over likely to pessimistic"
                self.add_error(f"likely_{index}", f"found {found}: expected {expected}")
        return cleaned


class TermsForm(forms.ModelForm):
    """What the shop charges, allows and promises."""

    class Meta:
        model = TermsRow
        fields = (
            "currency", "locale", "rate_per_h", "labour_basis", "condition_cv", "markup_percent", "sundries_percent",
            "carriage", "tax_parts_percent", "tax_labour_percent", "tax_sundries_percent", "tax_carriage_percent",
            "deposit_percent", "validity_days", "exclusions", "cautions",
        )  # fmt: skip
        labels = {
            "rate_per_h": "Rate of an hour",
            "labour_basis": "Hours that are sold",
            "condition_cv": "Spread of vehicle condition",
            "markup_percent": "Markup on parts, %",
            "sundries_percent": "Sundries, % of parts",
            "tax_parts_percent": "Tax on parts, %",
            "tax_labour_percent": "Tax on labour, %",
            "tax_sundries_percent": "Tax on sundries, %",
            "tax_carriage_percent": "Tax on carriage, %",
            "deposit_percent": "Deposit, % of the total",
            "validity_days": "Valid for, days",
            "exclusions": "Not included",
            "cautions": "Further cautions",
        }
        help_texts = {
            "currency": "Three letters (ISO 4217), such as EUR",
            "locale": "How money and dates are written: en_GB, de, fr_CA",
            "labour_basis": "P50: as likely more as less. P80: enough in 8 of 10 such jobs",
            "tax_parts_percent": "Blank: bears no tax",
            "tax_labour_percent": "Blank: bears no tax",
            "tax_sundries_percent": "Blank: bears no tax",
            "tax_carriage_percent": "Blank: bears no tax",
            "exclusions": "One a line",
            "cautions": "One a line; printed after the cautions of the trade, which stand on every quote",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        told = "; ".join(f"{condition.name} {condition.cv:g} ({condition.words})" for condition in conditions())
        for field in self.fields.values():
            if isinstance(field, forms.DecimalField | forms.FloatField | forms.IntegerField):
                plain_number(field)
        for name, rows in (("exclusions", 6), ("cautions", 3)):
            self.fields[name].widget.attrs["rows"] = rows
        self.fields["condition_cv"].help_text = f"Coefficient of variation that all work on one vehicle shares: {told}"

    def clean_currency(self) -> str:
        """A currency that exists."""
        currency = str(self.cleaned_data["currency"]).upper()
        try:
            decimals_of(currency)
        except PlanError as error:
            raise forms.ValidationError(str(error)) from None
        return currency

    def clean_locale(self) -> str:
        """A locale that money and dates can be written in."""
        locale = str(self.cleaned_data["locale"]).replace("-", "_")
        try:
            return str(Locale.parse(locale))
        except (UnknownLocaleError, ValueError):
            raise forms.ValidationError("expected a language, with a country where wanted: en_GB, de, fr_CA") from None


class AllowancesForm(forms.Form):
    """Take-off allowances, typed in the units people use."""

    def __init__(self, *args: Any, rules: TakeoffRules, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in ALLOWANCES:
            make = forms.IntegerField if field.is_count else forms.FloatField
            value = round(getattr(rules, field.name) / field.factor, 6)
            self.fields[field.name] = make(
                label=field.label,
                help_text=field.unit,
                initial=int(value) if float(value).is_integer() else value,
            )
            plain_number(self.fields[field.name])

    def clean(self) -> dict[str, Any]:
        """Gathers ``stored``, each allowance judged by the rule that ``TakeoffRules`` holds it to."""
        cleaned = super().clean() or {}
        self.stored: dict[str, float] = {}
        for field in ALLOWANCES:
            if (typed := cleaned.get(field.name)) is None:
                continue
            value = typed if field.is_count else round(typed * field.factor, 9)
            try:
                TakeoffRules(**{field.name: value})
                self.stored[field.name] = value
            except PlanError as error:
                self.add_error(field.name, str(error))
        return cleaned
