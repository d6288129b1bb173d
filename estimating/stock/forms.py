"""Forms of the stock."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from circuits.errors import LoomwrightError
from circuits.units import parse_length_m
from estimating.buying.kinds import Measure
from estimating.stock.kinds import measure_of, whole
from estimating.stock.models import MAX_REF, HoldingRow, MaterialRow
from estimating.stock.services import material_named
from estimating.takeoff.parts import PartKind

KINDS = [(kind.value, kind.value) for kind in PartKind if kind is not PartKind.REPAIR_LENGTH]
USUAL_CLASS_C = 125


def read_amount(measure: Measure, text: str) -> int:
    """Pieces or millimetres of what was typed.

    Raises
    ------
    ValidationError
        For what is no such amount.

    Examples
    --------
    >>> read_amount(Measure.CUTS, "2.5 m"), read_amount(Measure.PARTS, " 12 ")
    (2500, 12)
    """
    text = text.strip()
    if measure is not Measure.PARTS:
        if text in ("0", "0 m"):
            return 0
        try:
            return whole(measure, parse_length_m(text))
        except LoomwrightError as error:
            raise ValidationError(str(error)) from None
    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal(-1)
    if not (value.is_finite() and value >= 0 and value == value.to_integral_value() and value < 10**7):
        raise ValidationError("a whole number of pieces is expected")
    return int(value)


class MaterialChoice(forms.Form):
    """Names a material: kind, spec and, of a wire, its temperature class."""

    kind = forms.ChoiceField(choices=KINDS)
    spec = forms.CharField(max_length=120, help_text="As the parts list names it, e.g. 14 AWG RD/BK or blade 15 A")
    insulation_c = forms.IntegerField(
        label="Temperature class of a wire, °C", min_value=1, max_value=400, required=False, initial=USUAL_CLASS_C
    )

    def material(self) -> MaterialRow:
        """The material named; made where there is none yet. Call it on a form that holds."""
        data = self.cleaned_data
        return material_named(data["kind"], data["spec"], data["insulation_c"])

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        if "kind" not in data or "spec" not in data:
            return data
        is_wire = measure_of(data["kind"]) is Measure.CUTS
        if is_wire and not data.get("insulation_c"):
            self.add_error("insulation_c", "the class of the wire's insulation is expected, e.g. 125")
        data["insulation_c"] = data.get("insulation_c") if is_wire else 0
        data["spec"] = " ".join(data["spec"].split())
        try:
            MaterialRow(kind=data["kind"], spec=data["spec"], insulation_c=data["insulation_c"] or 0).clean()
        except ValidationError as error:
            self.add_error("spec", "; ".join(error.messages))
        return data


class MaterialForm(forms.Form):
    """Where a material lies and how much of it is kept."""

    bin = forms.CharField(label="Bin", max_length=20, required=False)
    low_level = forms.CharField(
        label="Order more below", max_length=20, required=False, help_text="Blank: it is bought for jobs only"
    )

    def __init__(self, *args: Any, material: MaterialRow, **kwargs: Any) -> None:
        kept = material.says(material.low_level).removesuffix(" pc") if material.low_level else ""
        kwargs["initial"] = {"bin": material.bin, "low_level": kept}
        super().__init__(*args, **kwargs)
        self.material = material
        if material.measure is Measure.CUTS:
            del self.fields["low_level"]

    def clean_low_level(self) -> int:
        text = self.cleaned_data["low_level"]
        return read_amount(self.material.measure, text) if text.strip() else 0


ACT_WORDS = (
    ("receipt", "Receipt without an order"),
    ("issue", "Issue to a job"),
    ("return", "Return from a job"),
    ("count", "Count or measure"),
    ("scrap", "Scrap"),
)


class MoveForm(forms.Form):
    """One movement, by hand."""

    act = forms.ChoiceField(label="What happened", choices=ACT_WORDS)
    holding = forms.ModelChoiceField(HoldingRow.objects.none(), label="Roll or bin", required=False)
    amount = forms.CharField(max_length=20, help_text="Of a count: what is there now")
    job = forms.CharField(label="Number of the job", max_length=MAX_REF, required=False)
    bin = forms.CharField(max_length=20, required=False, help_text="For what comes in; blank: the usual one")
    note = forms.CharField(max_length=200, required=False)
    token = forms.CharField(max_length=40, widget=forms.HiddenInput)

    def __init__(self, *args: Any, material: MaterialRow, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.material = material
        field = self.fields["holding"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = material.holdings.all()
        field.empty_label = "a new one"

    def clean_amount(self) -> int:
        return read_amount(self.material.measure, self.cleaned_data["amount"])

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or {}
        act = data.get("act")
        if act in ("issue", "count", "scrap") and not data.get("holding"):
            self.add_error("holding", "which roll or bin is expected")
        if act in ("issue", "return") and not (data.get("job") or "").strip():
            self.add_error("job", "the number of the job is expected")
        return data
