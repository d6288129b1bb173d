"""Customer links, what customers did by them, and tries at addresses that do not exist."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from shop.jobs.models import Job
from shop.links.rules import LinkState, state_of


class CustomerLink(models.Model):
    """An address given to the customer of one job. The secret itself is not kept, only its hash."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="links")
    secret_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=160)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    revoked_by = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(expires_at__gt=F("made_at")), name="links_expire_later"),
            models.CheckConstraint(
                condition=Q(revoked_at__isnull=True, revoked_by="") | Q(revoked_at__isnull=False, revoked_by__gt=""),
                name="links_revoked_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"Link {self.pk} of job {self.job_id}"

    def state(self, now: datetime) -> LinkState:
        """Where it stands at a moment."""
        return state_of(self.expires_at, self.revoked_at, now)


class ActQuerySet(models.QuerySet["LinkAct"]):
    """Acts are added, never changed."""

    def update(self, **values: Any) -> int:
        """Refuses."""
        raise ValidationError("What a customer did is kept as it was.")

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuses."""
        raise ValidationError("What a customer did is kept.")


class LinkAct(models.Model):
    """What a customer did by a link: which document was accepted, under which name."""

    link = models.ForeignKey(CustomerLink, on_delete=models.PROTECT, related_name="acts")
    what = models.CharField(max_length=80)
    name = models.CharField(max_length=160)
    at = models.DateTimeField()

    objects = ActQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"{self.what} by {self.name}"


class LinkTry(models.Model):
    """How often a visitor tried addresses that do not exist, in one window of time. The visitor is kept as a hash."""

    visitor = models.CharField(max_length=64)
    window = models.PositiveBigIntegerField(help_text="Start of the window, in windows since 1970")
    count = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["visitor", "window"], name="links_try_once_a_window")]
        indexes = [models.Index(fields=["window"], name="links_try_window")]

    def __str__(self) -> str:
        return f"{self.count} tries"
