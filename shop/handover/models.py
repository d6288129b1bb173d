"""Handovers: what was handed over with a vehicle, frozen, and the papers made of it."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from shop.jobs.models import Job

_FROZEN = "What has been handed over is kept as it was: release the job again as the next revision."


class FrozenQuerySet(models.QuerySet[Any]):
    """Rows that are added and never changed or deleted (held in the database as well: ``guards.py``)."""

    def update(self, **values: Any) -> int:
        """Refuses."""
        raise ValidationError(_FROZEN)

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise ValidationError(_FROZEN)


class Frozen(models.Model):
    """A row that is added and never changed or deleted."""

    objects = FrozenQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Adds; refuses to change."""
        if not self._state.adding:
            raise ValidationError(_FROZEN)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise ValidationError(_FROZEN)


class Handover(Frozen):
    """One release of a job. ``content`` holds all that its papers say and all that it was worked out from."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="handovers")
    number = models.PositiveSmallIntegerField()
    content = models.TextField(help_text="JSON as ``record.py`` writes it, to the letter")
    released_at = models.DateTimeField()
    released_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    released_name = models.CharField(max_length=200, help_text="Name and role, as printed")

    class Meta:
        ordering = ["job", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="handover_revision_number"),
            models.CheckConstraint(condition=Q(number__gte=1), name="handover_from_1"),
            models.CheckConstraint(condition=Q(content__gt="", released_name__gt=""), name="handover_is_whole"),
        ]

    def __str__(self) -> str:
        return f"Handover {self.number} of job {self.job_id}"


class PaperKind(models.TextChoices):
    """Papers of a handover."""

    SHEET = "sheet", "Handover sheet"
    CARD = "card", "Fuse chart card"


class HandoverPaper(Frozen):
    """A PDF of a handover, made once."""

    handover = models.ForeignKey(Handover, on_delete=models.PROTECT, related_name="papers")
    kind = models.CharField(max_length=8, choices=PaperKind.choices)
    pdf = models.BinaryField()
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["handover", "kind"]
        constraints = [models.UniqueConstraint(fields=["handover", "kind"], name="handover_paper_once")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} of handover {self.handover_id}"
