"""Forms of the plan's pages. Cells are read by the columns of the circuit sheet, as everywhere."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms

from circuits.planning.edits import EditFault
from circuits.planning.faces import FACES, help_of, label_of
from circuits.planning.grid import read_cells
from circuits.planning.listing import CIRCUITS, Listing
from circuits.planning.models import MAX_KEY, new_stamp
from circuits.sheets.columns import Column


def _widget(sheet: str, column: Column) -> forms.Widget:
    if column.choices:
        blank = [] if column.default in column.choices else [("", column.default or "choose")]
        return forms.Select(choices=[*blank, *((choice, choice) for choice in column.choices)])
    if column.name == "notes":
        return forms.Textarea(attrs={"rows": 3})
    face = FACES[sheet].get(column.name)
    attrs = {"autocomplete": "off"}
    if face and face.words:
        attrs["list"] = f"words-{face.words}"
    if column.is_number:
        attrs["inputmode"] = "decimal"
    return forms.TextInput(attrs=attrs)


def _field(sheet: str, column: Column) -> forms.CharField:
    blank = f" Blank: {column.default}." if column.default and not column.choices else ""
    return forms.CharField(
        label=label_of(sheet, column.name),
        help_text=help_of(sheet, column) + blank,
        required=False,  # the column itself says what is missing
        widget=_widget(sheet, column),
    )


class RowForm(forms.Form):
    """One row of a list as an ordinary form: a field for each column of the sheet."""

    def __init__(
        self,
        data: Mapping[str, Any] | None,
        cells: Iterable[str] = (),
        version: int = 0,
        *,
        listing: Listing = CIRCUITS,
    ) -> None:
        self.listing = listing
        names = [column.name for column in self.listing.columns]
        defaults = {column.name: column.default for column in self.listing.columns if column.default in column.choices}
        initial = dict(zip(names, cells, strict=False))
        super().__init__(data, initial={n: initial.get(n) or defaults.get(n, "") for n in names})
        self.fields["version"] = forms.IntegerField(initial=version, widget=forms.HiddenInput)
        self.fields["key"] = forms.CharField(
            initial=new_stamp, widget=forms.HiddenInput, required=False, max_length=MAX_KEY
        )
        for column in self.listing.columns:
            self.fields[column.name] = _field(self.listing.name, column)
            if column.required:
                self.fields[column.name].widget.attrs["aria-required"] = "true"
                self.fields[column.name].needed = True  # type: ignore[attr-defined]
        self.value: Any = None

    def clean(self) -> dict[str, Any]:
        """Read the cells; what cannot be read stands at its field."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        faults: list[EditFault] = []
        self.value = read_cells(self.listing, "", self.chosen(cleaned), faults)
        self.add_faults(faults)
        return cleaned

    def chosen(self, cleaned: Mapping[str, Any]) -> dict[str, str]:
        """Texts by column: the form's, but another's where that was ticked after a conflict."""
        return {
            column.name: self.data.get(f"theirs-{column.name}", cleaned.get(column.name) or "")
            for column in self.listing.columns
        }

    def add_faults(self, faults: Iterable[EditFault]) -> None:
        """Put faults at their fields."""
        for fault in faults:
            field = fault.column if fault.column in self.fields else None
            self.add_error(field, f"expected {fault.expected}")

    @property
    def main(self) -> list[forms.BoundField]:
        """Fields often used."""
        faces = FACES[self.listing.name]
        return [self[name] for name in self.fields if name in faces and faces[name].is_main]

    @property
    def more(self) -> list[forms.BoundField]:
        """Fields seldom used."""
        shown = {field.name for field in self.main} | {"version", "key"}
        return [self[name] for name in self.fields if name not in shown]

    @property
    def has_fault_in_more(self) -> bool:
        """True where a field seldom used cannot be read: it must not stay folded away."""
        return any(field.errors for field in self.more)
