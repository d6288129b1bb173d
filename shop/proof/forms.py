"""Forms of proof: the shop's limits."""

from __future__ import annotations

from typing import Any

from django import forms

from circuits.errors import QuantityError
from shop.proof.judging import read_value
from shop.proof.limits import Limit, LimitError, Limits, packaged_limits


class LimitsForm(forms.Form):
    """Both sides of each limit, typed with units; blank = that side is free."""

    def __init__(self, *args: Any, limits: Limits, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.limits = limits
        for row in limits.rows:
            for side, words in (("low", "least"), ("high", "most")):
                field = forms.CharField(max_length=40, required=False, label=f"{row.words}: {words}")
                value = getattr(row, side)
                field.initial = "" if value is None else f"{value:g} {row.unit}".strip()
                self.fields[f"{row.name}_{side}"] = field

    def rows(self) -> list[tuple[Limit, Any, Any]]:
        """Each limit with its two fields."""
        return [(row, self[f"{row.name}_low"], self[f"{row.name}_high"]) for row in self.limits.rows]

    def clean(self) -> dict[str, Any]:
        """The limits as values; every one that cannot be is told."""
        data: dict[str, Any] = super().clean() or {}
        found: list[Limit] = []
        for row in packaged_limits():
            sides = [self._side(row, side) for side in ("low", "high")]
            try:
                found.append(row.with_sides(*sides))
            except LimitError as error:
                self.add_error(f"{row.name}_high", str(error))
        data["limits"] = tuple(found)
        return data

    def _side(self, row: Limit, side: str) -> float | None:
        name = f"{row.name}_{side}"
        typed = str(self.cleaned_data.get(name, "")).strip()
        if not typed:
            return None
        try:
            return read_value(typed, row.unit) if row.unit else _share(typed)
        except QuantityError as error:
            self.add_error(name, str(error))
            return None


def _share(typed: str) -> float:
    try:
        return float(typed.replace(",", "."))
    except ValueError:
        raise QuantityError(f"found {typed!r}, expected a share such as 0.7") from None
