"""What a job has used, from the stock's own record: everything given out to it, less what came back."""

from __future__ import annotations

from django.db.models import Sum

from estimating.buying.kinds import Measure
from estimating.stock.kinds import MM_PER_M, measure_of
from estimating.stock.models import MovementRow, Reason
from estimating.takeoff.parts import Part, PartKind, Unit

OF_A_JOB = (Reason.ISSUE, Reason.RETURN)


def used_parts(job_number: str) -> tuple[Part, ...] | None:
    """Parts and metres that a job has used; None where nothing was ever given out to it. One query.

    What is lost by the blade or scrapped is the shop's, not the job's.

    Parameters
    ----------
    job_number : str
    """
    moved = (
        MovementRow.objects.filter(job=job_number, reason__in=[str(reason) for reason in OF_A_JOB])
        .order_by("holding__material__kind", "holding__material__spec")
        .values_list("holding__material__kind", "holding__material__spec")
        .annotate(amount=Sum("amount"))
    )
    rows = [(PartKind(kind), spec, -amount) for kind, spec, amount in moved]
    return tuple(_part(kind, spec, amount) for kind, spec, amount in rows if amount > 0) if rows else None


def _part(kind: PartKind, spec: str, amount: int) -> Part:
    if measure_of(kind) is Measure.PARTS:
        return Part(kind, spec, float(amount), Unit.PIECE, ())
    return Part(kind, spec, amount / MM_PER_M, Unit.METRE, ())
