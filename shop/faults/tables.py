"""The punch list of all jobs."""

from __future__ import annotations

from django.urls import reverse
from django.utils.html import format_html

from shop.faults.models import Fault
from shop.jobs.sheet_table import Cell, SheetTable
from shop.jobs.tables import day


def _link(fault: Fault) -> str:
    return format_html('<a href="{}">{}</a>', reverse("faults:fault", args=[fault.job_id, fault.pk]), fault.does)


class SymptomCell(Cell):
    """Opens the fault on the page; says its symptom in the export."""

    def value(self, record: Fault, **_: object) -> str:
        """The symptom alone."""
        return record.does


class FaultTable(SheetTable):
    """Faults, what blocks a delivery first."""

    caption = "Faults"
    does = SymptomCell(_link, verbose_name="Fault", orderable=False)
    weight = Cell(lambda fault: fault.get_weight_display(), verbose_name="How bad", orderable=False)
    job = Cell(lambda fault: fault.job.number, accessor="job__number", verbose_name="Job", orderable=False)
    vehicle = Cell(lambda fault: fault.job.vehicle, accessor="job__vehicle", verbose_name="Vehicle", orderable=False)
    circuits = Cell(lambda fault: ", ".join(fault.circuits), verbose_name="Circuits", orderable=False)
    starts = Cell(
        lambda fault: day(fault.job.starts_on), accessor="job__starts_on", verbose_name="Job starts", orderable=False
    )
    raised = Cell(
        lambda fault: day(fault.raised_at.date()), accessor="raised_at", verbose_name="Raised", orderable=False
    )
    stands = Cell(
        lambda fault: "open" if fault.is_open else "closed", accessor="closed_at", verbose_name="State", orderable=False
    )

    class Meta:
        model = Fault
        fields = ("does", "weight", "job", "vehicle", "circuits", "starts", "raised", "stands")
        empty_text = (
            "No fault here. Faults are raised at the vehicle, from the job's sheet Faults, or by a failed check."
        )
