"""The form a new plan starts from: nothing, a starter plan, a circuit sheet, or another plan."""

from __future__ import annotations

from typing import Any

from django import forms

from circuits.errors import CellFault, UnreadableError
from circuits.planning.models import PlanRow
from circuits.planning.services import FromNothing, FromPlan, FromSheet, FromStarter, Source
from circuits.planning.uploads import read_uploads
from circuits.sheets import STARTERS

NOTHING, SHEET, PLAN = "nothing", "sheet", "plan"
MOST_PLANS = 200


class NewPlanForm(forms.Form):
    """Where a plan starts from. ``plan_source`` gives what ``services.new_plan`` takes."""

    source = forms.ChoiceField(label="Start the circuit plan from")
    file = forms.FileField(
        label="Circuit sheet",
        required=False,
        help_text="Read where the plan starts from a sheet: workbook (.xlsx), zip of CSV files, or JSON.",
    )
    plan = forms.ModelChoiceField(
        PlanRow.objects.none(),
        label="Plan to copy",
        required=False,
        help_text="Taken where the plan starts as a copy, as it stands now.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        starters = [(key, f"Starter plan: {title}") for key, title in STARTERS.items()]
        self.fields["source"].choices = [  # type: ignore[attr-defined]
            *starters,
            (SHEET, "A circuit sheet"),
            (PLAN, "A copy of another plan"),
            (NOTHING, "An empty plan"),
        ]
        self.fields["plan"].queryset = PlanRow.objects.order_by("-updated_at", "-id")  # type: ignore[attr-defined]
        self.faults: tuple[CellFault, ...] = ()
        self.plan_source: Source = FromNothing()

    def clean(self) -> dict[str, Any]:
        """Find the source; every cell of a sheet that cannot be read is kept in ``faults``."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        source = cleaned.get("source")
        if source == SHEET:
            self._read_sheet(cleaned)
        elif source == PLAN and cleaned.get("plan"):
            self.plan_source = FromPlan(cleaned["plan"].pk)
        elif source == PLAN:
            self.add_error("plan", "choose the plan to copy")
        elif source and source != NOTHING:
            self.plan_source = FromStarter(source)
        return cleaned

    def _read_sheet(self, cleaned: dict[str, Any]) -> None:
        try:
            self.plan_source = FromSheet(read_uploads([cleaned["file"]] if cleaned.get("file") else []))
        except UnreadableError as error:
            self.faults = error.faults
            self.add_error("file", "This sheet cannot be read; every place is listed above.")
