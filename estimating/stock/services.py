"""What can happen to stock. Each is one transaction that holds the material's row and adds movements, never less."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from django.utils import timezone

from circuits.errors import LoomwrightError
from estimating.quotes.numbering import next_number
from estimating.stock.models import HoldingRow, MaterialRow, MovementRow, Reason
from estimating.takeoff.parts import PartKind


class StockError(LoomwrightError, ValueError):
    """A movement that cannot be: names what lies where, what was asked for and what is expected."""


@dataclass(frozen=True, slots=True)
class Act:
    """Who moved something, when and why.

    Parameters
    ----------
    by : str
    at : datetime
    job : str
        Number of the job it is for; empty where for none.
    note : str
    key : str
        Names the act; a second act of the same key does nothing. Empty = none.
    """

    by: str
    at: datetime
    job: str = ""
    note: str = ""
    key: str = ""


def material_named(kind: str, spec: str, insulation_c: int = 0) -> MaterialRow:
    """The row of a material; made where there is none yet.

    Raises
    ------
    ValidationError
        For a wire whose size is not known.
    """
    kind = PartKind.WIRE if kind == PartKind.REPAIR_LENGTH else kind
    spec = " ".join(spec.split())
    found = MaterialRow.objects.filter(kind=kind, spec=spec, insulation_c=insulation_c).first()
    if found is not None:
        return found
    row = MaterialRow(kind=kind, spec=spec, insulation_c=insulation_c)
    row.full_clean()
    row.save()
    return row


@transaction.atomic
def take_in(*, material: MaterialRow, amount: int, act: Act, bin_name: str | None = None) -> HoldingRow:
    """Puts goods into stock: a length becomes a roll of its own with the next label, counted parts join their bin.

    Parameters
    ----------
    material : MaterialRow
    amount : int
        Pieces, or millimetres of one length; above 0.
    act : Act
        With a job it is a return of that job, else a receipt.
    bin_name : str or None
        None = where the material usually lies.

    Raises
    ------
    StockError
        For an amount that is not above 0.
    """
    _hold(material)
    done = _done(act)
    if done is not None:
        return done.holding
    if amount <= 0:
        raise StockError(f"{material}: more than nothing is expected to come in, got {material.says(amount)}")
    place = material.bin if bin_name is None else bin_name
    if material.is_length:
        label = next_number("R", timezone.localdate(act.at).year)
        holding = HoldingRow.objects.create(material=material, label=label, bin=place)
    else:
        holding, _ = HoldingRow.objects.get_or_create(material=material, label="", bin=place)
    _move(holding, Reason.RETURN if act.job else Reason.RECEIPT, amount, act)
    return holding


@transaction.atomic
def issue(*, holding: HoldingRow, amount: int, act: Act, blade_mm: int = 0) -> None:
    """Gives parts or a cut to a job; the blade's loss is a movement of its own.

    A cut that takes the rest of a roll loses no more to the blade than is there.

    Raises
    ------
    StockError
        Where less is there, or no job is named.
    """
    _hold(holding.material)
    if _done(act) is not None:
        return
    if not act.job:
        raise StockError(f"{holding.material}: the number of the job that it goes to is expected")
    left = _take(holding, Reason.ISSUE, amount, act)
    lost = min(blade_mm, left) if holding.material.is_length else 0
    if lost:
        _move(holding, Reason.BLADE, -lost, Act(act.by, act.at, act.job))


@transaction.atomic
def scrap(*, holding: HoldingRow, amount: int, act: Act) -> None:
    """Throws away.

    Raises
    ------
    StockError
        Where less is there.
    """
    _hold(holding.material)
    if _done(act) is None:
        _take(holding, Reason.SCRAP, amount, act)


@transaction.atomic
def count(*, holding: HoldingRow, found: int, act: Act) -> None:
    """Enters what was counted or measured; the difference becomes a movement.

    Raises
    ------
    StockError
        For less than nothing.
    """
    _hold(holding.material)
    if found < 0:
        raise StockError(f"{holding.material}: 0 or more is expected of a count, got {holding.material.says(found)}")
    difference = found - level_of(holding)
    if difference and _done(act) is None:
        _move(holding, Reason.COUNT, difference, act)


def level_of(holding: HoldingRow) -> int:
    """What lies there: the sum of its movements."""
    return MovementRow.objects.filter(holding=holding).aggregate(level=Sum("amount"))["level"] or 0


def _hold(material: MaterialRow) -> None:
    """Locks the material's row, so that of two acts the second sees the first."""
    MaterialRow.objects.select_for_update().get(pk=material.pk)


def _done(act: Act) -> MovementRow | None:
    return MovementRow.objects.select_related("holding").filter(key=act.key).first() if act.key else None


def _take(holding: HoldingRow, reason: Reason, amount: int, act: Act) -> int:
    """Takes out; what is left."""
    says, level = holding.material.says, level_of(holding)
    if amount <= 0:
        raise StockError(f"{holding.material}: more than nothing is expected to go out, got {says(amount)}")
    if amount > level:
        raise StockError(f"{holding.material}, {holding}: {says(level)} there, {says(amount)} asked for")
    _move(holding, reason, -amount, act)
    return level - amount


def _move(holding: HoldingRow, reason: Reason, amount: int, act: Act) -> None:
    row = MovementRow(
        holding=holding,
        reason=reason,
        amount=amount,
        job=act.job,
        note=act.note,
        at=act.at,
        by=act.by,
        key=act.key or None,
    )
    try:
        row.full_clean()
    except ValidationError as error:
        raise StockError(f"{holding.material}: {' '.join(error.messages)}") from error
    row.save()


@transaction.atomic
def keep(*, material: MaterialRow, bin_name: str, low_level: int) -> None:
    """Says where a material usually lies, and below which level more is ordered (0 = for jobs only)."""
    row = MaterialRow.objects.select_for_update().get(pk=material.pk)
    row.bin, row.low_level = bin_name.strip(), low_level
    row.full_clean()
    row.save(update_fields=["bin", "low_level"])
