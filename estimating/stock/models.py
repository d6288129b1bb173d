"""Rows of the stock: materials, where they lie, every movement. A level is the sum of movements and nothing else."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, OuterRef, Q, Subquery, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone

from circuits.errors import TableError
from estimating.buying.kinds import Kind, Measure
from estimating.stock.kinds import buying_kind, in_words, kind_key, measure_of
from estimating.takeoff.parts import PartKind

MAX_REF = 40


class Reason(StrEnum):
    """Why stock moved."""

    RECEIPT = "receipt"
    ISSUE = "issue"
    RETURN = "return"
    COUNT = "count"
    SCRAP = "scrap"
    BLADE = "blade loss"


COMING = (Reason.RECEIPT, Reason.RETURN)
GOING = (Reason.ISSUE, Reason.SCRAP, Reason.BLADE)


class MaterialQuerySet(models.QuerySet["MaterialRow"]):
    """Reads of materials."""

    def matching(self, words: str) -> MaterialQuerySet:
        """Those in which every word occurs, in kind, spec, bin or the label of a roll."""
        found = self
        for word in words.split():
            rolls = HoldingRow.objects.filter(material=OuterRef("pk"), label__icontains=word)
            hit = Q(kind__icontains=word) | Q(spec__icontains=word) | Q(bin__icontains=word)
            found = found.filter(hit | models.Exists(rolls))
        return found

    def with_level(self) -> MaterialQuerySet:
        """Each with ``level``: pieces or millimetres in all bins."""
        moved = MovementRow.objects.filter(holding__material=OuterRef("pk")).order_by().values("holding__material")
        return self.annotate(level=Coalesce(Subquery(moved.annotate(sum=Sum("amount")).values("sum")), 0))

    def low(self) -> MaterialQuerySet:
        """Those below the level at which more is ordered. Call it after ``with_level``."""
        return self.filter(low_level__gt=0, level__lt=F("low_level"))


class MaterialRow(models.Model):
    """One kind of material that the shop keeps or buys."""

    kind = models.CharField(max_length=40, choices=[(kind.value, kind.value) for kind in PartKind])
    spec = models.CharField(max_length=120)
    insulation_c = models.PositiveSmallIntegerField(default=0, help_text="Temperature class of a wire; 0 elsewhere")
    bin = models.CharField(max_length=20, blank=True, help_text="Where it usually lies")
    low_level = models.PositiveIntegerField(default=0, help_text="Pieces or millimetres; 0 = not kept in stock")
    level: int
    """Pieces or millimetres, where a read brought it along."""

    objects = MaterialQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "spec", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "spec", "insulation_c"], name="stock_one_material"),
            models.CheckConstraint(
                condition=(Q(kind="wire", insulation_c__gt=0) & Q(low_level=0)) | (~Q(kind="wire") & Q(insulation_c=0)),
                name="stock_wire_has_a_class",
            ),
            models.CheckConstraint(condition=~Q(kind="repair length"), name="stock_repair_is_wire"),
        ]

    def __str__(self) -> str:
        return self.key

    @property
    def key(self) -> str:
        """Key under which stock, offers and needs meet."""
        return kind_key(self.kind, self.spec, self.insulation_c)

    @property
    def measure(self) -> Measure:
        """How it is measured out."""
        return measure_of(self.kind)

    @property
    def is_length(self) -> bool:
        """True where it is kept as single lengths."""
        return self.measure is not Measure.PARTS

    def value(self) -> Kind:
        """The kind as buying knows it."""
        return buying_kind(self.kind, self.spec, self.insulation_c)

    def says(self, amount: int) -> str:
        """An amount of it, for people."""
        return in_words(self.measure, amount)

    def clean(self) -> None:
        """Refuses a wire whose size is not known."""
        try:
            self.value()
        except TableError as error:
            raise ValidationError({"spec": str(error)}) from None


class HoldingQuerySet(models.QuerySet["HoldingRow"]):
    """Reads of holdings."""

    def with_level(self) -> HoldingQuerySet:
        """Each with ``level``: pieces or millimetres."""
        return self.annotate(level=Coalesce(Sum("movements__amount"), 0))

    def with_something(self) -> HoldingQuerySet:
        """Those in which something lies, each with its ``level`` and material."""
        found: HoldingQuerySet = self.with_level()
        return found.filter(Q(level__gt=0)).select_related("material").order_by("pk")


class HoldingRow(models.Model):
    """One roll or offcut, by its label; or the counted parts of a material in one bin."""

    material = models.ForeignKey(MaterialRow, on_delete=models.PROTECT, related_name="holdings")
    label = models.CharField(max_length=20, blank=True, help_text="Of a roll or offcut; counted parts have none")
    bin = models.CharField(max_length=20, blank=True)
    level: int
    """Pieces or millimetres, where a read brought it along."""

    objects = HoldingQuerySet.as_manager()

    class Meta:
        ordering = ["material", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["label"], condition=~Q(label=""), name="stock_one_roll_per_label"),
            models.UniqueConstraint(fields=["material", "bin"], condition=Q(label=""), name="stock_one_lot_per_bin"),
        ]

    def __str__(self) -> str:
        return self.label or f"bin {self.bin}" if self.label or self.bin else "no bin"


class FrozenMovementError(ValidationError):
    """A write to a movement that is on record."""


class MovementQuerySet(models.QuerySet["MovementRow"]):
    """Reads of movements; refuses the writes that would change the record."""

    def update(self, **values: Any) -> int:
        """Refuses."""
        raise FrozenMovementError("A movement on record is never changed: enter another one.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise FrozenMovementError("A movement on record is never deleted: enter another one.")


class MovementRow(models.Model):
    """So much came or went. ``amount`` is in pieces or millimetres, below 0 for what went."""

    holding = models.ForeignKey(HoldingRow, on_delete=models.PROTECT, related_name="movements")
    reason = models.CharField(max_length=12, choices=[(reason.value, reason.value) for reason in Reason])
    amount = models.BigIntegerField()
    job = models.CharField(max_length=MAX_REF, blank=True, db_index=True, help_text="Number of the job")
    note = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(default=timezone.now)
    by = models.CharField(max_length=160)
    key = models.CharField(max_length=120, null=True, blank=True, unique=True, help_text="Names the act: done once")

    objects = MovementQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(reason__in=[reason.value for reason in COMING], amount__gt=0)
                | Q(reason__in=[reason.value for reason in GOING], amount__lt=0)
                | (Q(reason=Reason.COUNT) & ~Q(amount=0)),
                name="stock_sign_fits_reason",
            ),
            models.CheckConstraint(
                condition=~Q(reason__in=[Reason.ISSUE.value, Reason.RETURN.value]) | Q(job__gt=""),
                name="stock_issue_names_job",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.reason} {self.amount}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Stores a new movement; refuses to change one on record."""
        if not self._state.adding:
            raise FrozenMovementError("A movement on record is never changed: enter another one.")
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise FrozenMovementError("A movement on record is never deleted: enter another one.")
