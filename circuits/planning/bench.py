"""The bench calculator's form: one load, one wire. Reads what is written on the load, in whatever unit."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.forms.utils import ErrorDict

from circuits.electrical.single import SingleLoad
from circuits.errors import PlanError, QuantityError
from circuits.plan import DEFAULT_ZONES_C, Duty, FuseFamily, Return
from circuits.sheets.cells import CellError, read_size
from circuits.sheets.columns import COLUMNS
from circuits.units import parse_temperature_c

_LENGTH = COLUMNS["runs"]["length"]
_AMPERES = COLUMNS["circuits"]["load_a"]
_WATTS = COLUMNS["circuits"]["load_w"]
_DROP = COLUMNS["circuits"]["max_drop_percent"]
_AMBIENT = COLUMNS["zones"]["ambient_c"]
MAX_BUNDLE = 200


def read_load(text: str) -> dict[str, float]:
    """Current or power of a load: watts where the text ends in W, else amperes.

    Raises
    ------
    CellError

    Examples
    --------
    >>> read_load("55 W"), read_load("4.6"), read_load("380 mA")
    ({'load_w': 55.0}, {'load_a': 4.6}, {'load_a': 0.38})
    """
    if text.strip().casefold().endswith(("w", "watt", "watts")):
        return {"load_w": _WATTS.read(text)}
    try:
        return {"load_a": _AMPERES.read(text)}
    except CellError:
        raise CellError("a current or a power such as 4.6 A or 55 W") from None


def read_ambient(text: str) -> float:
    """Temperature of the surroundings, or of the zone named [°C].

    Raises
    ------
    CellError

    Examples
    --------
    >>> read_ambient("engine bay"), read_ambient("85"), read_ambient("185 F")
    (85.0, 85.0, 85.0)
    """
    zone = DEFAULT_ZONES_C.get(" ".join(text.split()).casefold())
    if zone is not None:
        return zone
    try:
        return round(float(_AMBIENT.read(str(parse_temperature_c(text)))), 6)
    except (CellError, QuantityError):
        raise CellError(f"a temperature such as 85 °C, or one of {', '.join(DEFAULT_ZONES_C)}") from None


def _bundle(text: str) -> int:
    if not text.strip().isdecimal() or not 1 <= int(text) <= MAX_BUNDLE:
        raise CellError(f"a count of wires from 1 to {MAX_BUNDLE}")
    return int(text)


def _fuse_a(text: str) -> float | None:
    return None if not text.strip() else float(_AMPERES.read(text))


def _size(text: str) -> str:
    return read_size(text) if text.strip() else ""


_READ: dict[str, Callable[[str], Any]] = {
    "length": _LENGTH.read,
    "ambient": read_ambient,
    "bundle": _bundle,
    "drop": _DROP.read,
    "fuse_a": _fuse_a,
    "size": _size,
}
_FIELD = {"length": "length_m", "ambient": "ambient_c", "drop": "max_drop_percent"}


def _text(label: str, help_text: str, **attrs: str) -> forms.CharField:
    widget = forms.TextInput(attrs={"autocomplete": "off", **attrs})
    return forms.CharField(label=label, help_text=help_text, required=False, widget=widget)


class BenchForm(forms.Form):
    """What is known of the load and the way of its wire. The first two are needed."""

    load = _text("Load", "As written on it: 55 W or 4.6 A.", autofocus="autofocus")
    length = _text("Length one way", "In metres, or with its unit: 12 ft, 250 cm.")
    system_v = forms.ChoiceField(label="System", choices=[("12", "12 V"), ("24", "24 V")])
    return_by = forms.ChoiceField(
        label="Return", choices=[(Return.CHASSIS.value, "by the chassis"), (Return.WIRED.value, "by a wire, as long")]
    )
    duty = forms.ChoiceField(
        label="Duty", choices=[("continuous", "over 10 minutes"), ("intermittent", "up to 10 minutes")]
    )
    ambient = _text("Surroundings", "The hottest on its way: 85 °C, or a zone: engine bay.", list="words-zones")
    bundle = _text("Wires in the bundle", "Loaded ones, this one included.", inputmode="numeric")
    drop = _text(
        "Drop allowed %", "Out and back, of system voltage: 3 if safety hangs on it, else 5.", inputmode="decimal"
    )
    fuse_family = forms.ChoiceField(label="Fuse family", required=False)
    fuse_a = _text("Fuse A", "Blank: chosen.", inputmode="decimal")
    size = _text("Size", "Blank: chosen. 14 AWG or 2.5 mm².")

    START = {
        "system_v": "12", "return_by": "chassis", "duty": "continuous", "ambient": "40", "bundle": "1", "drop": "5",
        "load": "", "length": "", "fuse_family": "", "fuse_a": "", "size": "",
    }  # fmt: skip

    def __init__(self, asked: Any) -> None:
        super().__init__({name: asked.get(name, start) for name, start in self.START.items()})
        families = [("", "the shop's usual"), *((family.value, family.value) for family in FuseFamily)]
        self.fields["fuse_family"].choices = families  # type: ignore[attr-defined]
        self.load_asked: SingleLoad | None = None

    @property
    def is_empty(self) -> bool:
        """True where neither load nor length is known yet."""
        return not (self.data["load"].strip() and self.data["length"].strip())

    def full_clean(self) -> None:
        """Judge nothing before there is something to judge."""
        if self.is_empty:
            self._errors, self.cleaned_data = ErrorDict(), {}
        else:
            super().full_clean()

    def clean(self) -> dict[str, Any]:
        """Read each field; make the load of them where all can be read."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        known: dict[str, Any] = {}
        try:
            known |= read_load(cleaned.get("load") or "")
        except CellError as error:
            self.add_error("load", f"expected {error.expected}")
        for name, read in _READ.items():
            try:
                known[_FIELD.get(name, name)] = read(cleaned.get(name) or "")
            except CellError as error:
                self.add_error(name, f"expected {error.expected}")
        if known.get("max_drop_percent") is None:
            known["max_drop_percent"] = 5.0
        if not self.errors:
            self._make(known, cleaned)
        return cleaned

    def _make(self, known: dict[str, Any], cleaned: dict[str, Any]) -> None:
        try:
            self.load_asked = SingleLoad(
                **known,
                system_v=float(cleaned["system_v"]),
                duty=Duty(cleaned["duty"]),
                return_by=Return(cleaned["return_by"]),
                fuse_family=FuseFamily(cleaned["fuse_family"]) if cleaned["fuse_family"] else None,
            )
        except PlanError as error:
            self.add_error(None, str(error))
