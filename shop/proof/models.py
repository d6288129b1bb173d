"""The check sheet as rows, its readings, and the battery's lock."""

from __future__ import annotations

import math

from django.conf import settings
from django.db import models
from django.db.models import Q

from shop.faults.models import Fault, Kept
from shop.jobs.models import Job
from shop.proof.checks import BEFORE_BATTERY, BEFORE_POWER, Group
from shop.proof.judging import Verdict, is_within


class LimitRow(models.Model):
    """A limit of the shop's own."""

    name = models.CharField(max_length=40, unique=True)
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name


class ProofSheet(models.Model):
    """The check sheet of a job: of which version of the plan, when and by whom it was made."""

    job = models.OneToOneField(Job, on_delete=models.PROTECT, related_name="proof_sheet")
    plan_version = models.PositiveIntegerField()
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"Check sheet of {self.job_id}"


class CheckRow(models.Model):
    """One line of a vehicle's check sheet. A sheet made anew keeps the line and its readings."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="checks")
    key = models.CharField(max_length=640)
    position = models.PositiveIntegerField()
    group = models.CharField(max_length=60, choices=[(group.value, group.value) for group in Group])
    what = models.TextField()
    how = models.TextField(blank=True)
    unit = models.CharField(max_length=4, blank=True)
    expected = models.FloatField(null=True, blank=True)
    least_expected = models.FloatField(null=True, blank=True)
    most_expected = models.FloatField(null=True, blank=True)
    basis = models.CharField(max_length=200, blank=True)
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    source = models.CharField(max_length=300, blank=True)
    circuits = models.JSONField(default=list, blank=True)
    endangers = models.BooleanField(default=False)
    is_current = models.BooleanField(default=True)
    latest = models.ForeignKey("Reading", null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["job", "position", "pk"]
        constraints = [models.UniqueConstraint(fields=["job", "key"], name="proof_one_line_per_check")]

    def __str__(self) -> str:
        return self.what

    @property
    def verdict(self) -> Verdict:
        """How the line stands. A reading that passed against other limits counts where it keeps those of today."""
        reading = self.latest
        if reading is None:
            return Verdict.MISSING
        if not reading.passed:
            return Verdict.FAILED
        if self.unit and not is_within(reading.ohm_or_value, self.low, self.high):
            return Verdict.AGAIN
        return Verdict.PASSED

    @property
    def is_odd(self) -> bool:
        """True where the latest reading keeps its limits but is not what the plan lets expect: worth a look."""
        reading = self.latest
        if reading is None or not self.unit or self.verdict is not Verdict.PASSED:
            return False
        return not is_within(reading.ohm_or_value, self.least_expected, self.most_expected)

    @property
    def is_before_power(self) -> bool:
        """True where it must pass before anything feeds the vehicle, even a limited source."""
        return self.group in BEFORE_POWER

    @property
    def is_before_battery(self) -> bool:
        """True where it must pass before the battery is connected."""
        return self.group in BEFORE_BATTERY


class Reading(Kept):
    """What the meter said, or the eye. Never changed: a new reading supersedes it.

    It keeps the limits that it was judged against.
    """

    check_row = models.ForeignKey(CheckRow, on_delete=models.PROTECT, related_name="readings")
    typed = models.CharField(max_length=60, blank=True)
    value = models.FloatField(null=True, blank=True)
    passed = models.BooleanField()
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    remark = models.CharField(max_length=300, blank=True)
    meter = models.CharField(max_length=80, blank=True)
    key = models.CharField(max_length=40, unique=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    fault = models.ForeignKey(Fault, null=True, blank=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "pk"]

    @property
    def ohm_or_value(self) -> float:
        """The value; an open line counts as resistance without end."""
        return math.inf if self.value is None else self.value

    def __str__(self) -> str:
        return self.typed or ("passed" if self.passed else "failed")


class BatteryAct(Kept):
    """The battery was connected, or taken off. An override keeps who, why, and what was missing."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="battery_acts")
    is_on = models.BooleanField()
    is_override = models.BooleanField(default=False)
    reason = models.CharField(max_length=500, blank=True)
    missing = models.JSONField(default=list, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(is_override=False) | ~Q(reason=""), name="proof_override_says_why"),
            models.CheckConstraint(condition=Q(is_override=False) | Q(is_on=True), name="proof_override_connects"),
        ]

    def __str__(self) -> str:
        return "battery on" if self.is_on else "battery off"
