"""Forms of money."""

from __future__ import annotations

from decimal import Decimal
from typing import Any
from uuid import uuid4

from django import forms

from estimating.pricing.quote import LineClass
from shop.billing.models import Means
from shop.billing.orders import Order, TypedLine, What

MOST = Decimal("99999999.99")
LINES_SHOWN = 3
MOST_LINES = 40
_CLASSES = [(str(one), str(one).capitalize()) for one in LineClass]


def amount_field(**options: Any) -> forms.DecimalField:
    """A field for money, typed as text so that a phone shows figures and a comma is not lost."""
    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return forms.DecimalField(max_digits=12, max_value=MOST, widget=widget, localize=False, **options)


class KeyedForm(forms.Form):
    """A form that is heard once, however often it is sent in."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)


class InvoiceForm(KeyedForm):
    """What an invoice claims."""

    what = forms.ChoiceField(
        label="What is invoiced", choices=[(one.value, one.words) for one in What], widget=forms.RadioSelect
    )
    amount = amount_field(
        label="Amount with tax",
        required=False,
        min_value=Decimal(0),
        help_text="For a deposit or part. Blank: the deposit as agreed.",
    )
    with_parts = forms.BooleanField(
        label="Add the parts used that have not been invoiced",
        required=False,
        help_text="Given out to the job less what came back; those of today's plan where none were. "
        "Only where hours and parts are invoiced.",
    )
    days = forms.IntegerField(label="Days to pay", min_value=0, max_value=365, initial=14)
    note = forms.CharField(
        label="A few words to the customer", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    seen = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, has_agreement: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not has_agreement:
            field = self.fields["what"]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [(one.value, one.words) for one in What if not one.is_agreed]

    def order(self, lines: tuple[TypedLine, ...]) -> Order:
        """The order that the valid form and lines make."""
        data = self.cleaned_data
        return Order(
            What(data["what"]), data["amount"], lines, data["with_parts"], days=data["days"], note=data["note"]
        )


class LineForm(forms.Form):
    """One line typed by hand; a blank one counts for nothing."""

    text = forms.CharField(label="Work or part", max_length=200, required=False)
    line_class = forms.ChoiceField(label="Class", choices=_CLASSES, initial=LineClass.PARTS, required=False)
    quantity = forms.DecimalField(
        label="Quantity",
        max_digits=9,
        decimal_places=2,
        required=False,
        initial=1,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    unit = forms.CharField(label="Unit", max_length=10, required=False, initial="piece")
    unit_price = amount_field(label="Price of one, net", required=False, decimal_places=4)

    def clean(self) -> dict[str, Any]:
        """Half a line is told, not dropped."""
        data: dict[str, Any] = super().clean() or {}
        if not self.errors and (data.get("text") or data.get("unit_price") is not None):
            if not data.get("text"):
                self.add_error("text", "Say what it is.")
            if data.get("unit_price") is None:
                self.add_error("unit_price", "Give the price of one, without tax.")
            if not data.get("quantity"):
                self.add_error("quantity", "Give a quantity other than 0.")
        return data

    @property
    def line(self) -> TypedLine | None:
        """The line; None where it was left blank."""
        data = self.cleaned_data
        if not data.get("text"):
            return None
        line_class = LineClass(data["line_class"] or LineClass.PARTS)
        return TypedLine(data["text"], line_class, data["quantity"], data["unit"] or "piece", data["unit_price"])


LineFormSet = forms.formset_factory(LineForm, extra=LINES_SHOWN, max_num=MOST_LINES, absolute_max=MOST_LINES)


class PaymentForm(KeyedForm):
    """Money received."""

    invoice = forms.TypedChoiceField(
        label="For", required=False, coerce=int, empty_value=None, help_text="What is left over pays the others."
    )
    amount = amount_field(label="Amount", min_value=Decimal(0))
    means = forms.ChoiceField(label="By", choices=Means.choices)
    moved_on = forms.DateField(label="On", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    reference = forms.CharField(label="Reference", max_length=120, required=False)

    def __init__(self, *args: Any, invoices: list[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["invoice"]
        assert isinstance(field, forms.TypedChoiceField)
        field.choices = [("", "the oldest open invoice"), *invoices]


class RefundForm(KeyedForm):
    """Money paid back."""

    amount = amount_field(label="Amount", min_value=Decimal(0))
    means = forms.ChoiceField(label="By", choices=Means.choices)
    moved_on = forms.DateField(label="On", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    reference = forms.CharField(label="Reference", max_length=120, required=False)


class CreditForm(KeyedForm):
    """What is given back on an invoice, by tax rate."""

    reason = forms.CharField(
        label="Why",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Printed on the credit note",
    )
    seen = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, taxable: tuple[tuple[Decimal, Decimal], ...], currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._rates = {f"net_{index}": rate for index, (rate, _) in enumerate(taxable)}
        for index, (rate, net) in enumerate(taxable):
            self.fields[f"net_{index}"] = amount_field(
                label=f"Net given back at {rate.normalize():f} % tax",
                initial=net,
                required=False,
                help_text=f"{net} {currency} remain; that gives all of it back.",
            )

    @property
    def nets(self) -> dict[Decimal, Decimal]:
        """Net by tax rate."""
        return {rate: self.cleaned_data[name] or Decimal(0) for name, rate in self._rates.items()}


class NoteForm(forms.Form):
    """What is said on a change, and what its sender looked at."""

    note = forms.CharField(
        label="A few words to the customer", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    expected = forms.IntegerField(min_value=1, widget=forms.HiddenInput)
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)


class AnswerForm(forms.Form):
    """The customer's answer to a change."""

    name = forms.CharField(
        label="Name of the customer who answers", max_length=160, widget=forms.TextInput(attrs={"autocomplete": "off"})
    )
    answer = forms.ChoiceField(
        label="Answer", choices=[("accepted", "Accepts"), ("declined", "Declines")], widget=forms.RadioSelect
    )
    note = forms.CharField(label="Reason, where declined", max_length=300, required=False)


class JournalForm(forms.Form):
    """Which days."""

    first = forms.DateField(label="From", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    last = forms.DateField(label="To", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))

    def clean(self) -> dict[str, Any]:
        """The days in their order."""
        data: dict[str, Any] = super().clean() or {}
        if "first" in data and "last" in data and data["first"] > data["last"]:
            self.add_error("last", f"It lies before {data['first']:%d %b %Y}: give a day on or after it.")
        return data
