"""Rows of the circuit plan. ``circuits.planning.store`` is the only door between them and the plan's values."""

from __future__ import annotations

import secrets
from typing import ClassVar

from django.db import models
from django.utils import timezone

from circuits.fittings import Half, Holds
from circuits.plan import Covering, Disposition, Duty, FuseFamily, Kind, Return
from circuits.sheets.limits import MAX_CELL_CHARACTERS

MAX_NAME = MAX_CELL_CHARACTERS
"""Longest name a row can hold [characters]: whatever a sheet may hold."""

MAX_TITLE = 200
MAX_KEY = 60


def new_stamp() -> str:
    """A name for one state of some content, never used twice: what results are cached under.

    A version counts again after a roll-back and would then name two contents; a stamp cannot.
    """
    return secrets.token_hex(8)


class PlanRow(models.Model):
    """A circuit plan with the vehicle it is for. ``version`` rises by one with each change of anything in it."""

    title = models.CharField(max_length=MAX_TITLE)
    description = models.CharField(max_length=MAX_NAME, blank=True)
    system_v = models.FloatField(default=12.0)
    battery_cca_a = models.FloatField(null=True, blank=True)
    battery_ah = models.FloatField(null=True, blank=True)
    alternator_a = models.FloatField(null=True, blank=True)
    alternator_idle_a = models.FloatField(null=True, blank=True)
    chassis_return = models.BooleanField(default=True)
    chassis_resistance_ohm = models.FloatField(default=0.005)
    version = models.PositiveIntegerField(default=1)
    stamp = models.CharField(max_length=16, default=new_stamp)
    created_at = models.DateTimeField(auto_now_add=True)
    updated_at = models.DateTimeField(auto_now=True)
    updated_by = models.CharField(max_length=150, blank=True)

    class Meta:
        indexes: ClassVar = [models.Index(fields=["-updated_at", "-id"], name="planning_plan_latest")]

    def __str__(self) -> str:
        return self.title


class PlanPart(models.Model):
    """One row of a plan's lists. ``version`` rises with each change of it, so that two windows notice each other.

    ``made_as`` is the name its editor gave it when it was new: sent twice, as an answer was lost, it is still one row.
    """

    position = models.PositiveIntegerField()
    made_as = models.CharField(max_length=MAX_KEY, blank=True)
    version = models.PositiveIntegerField(default=1)
    updated_at = models.DateTimeField(default=timezone.now)
    updated_by = models.CharField(max_length=150, blank=True)

    class Meta:
        abstract = True


class ZoneRow(PlanPart):
    """A zone of a plan."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="zones", db_index=False)
    name = models.CharField(max_length=MAX_NAME)
    ambient_c = models.FloatField()

    class Meta:
        ordering: ClassVar = ["position", "id"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["plan", "name"], name="planning_zone_once")]

    def __str__(self) -> str:
        return self.name


class RunRow(PlanPart):
    """A run of the loom of a plan."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="runs", db_index=False)
    start = models.CharField(max_length=MAX_NAME)
    end = models.CharField(max_length=MAX_NAME)
    length_m = models.FloatField()
    zone = models.CharField(max_length=MAX_NAME)
    covering = models.CharField(max_length=20, choices=[(c.value, c.value) for c in Covering])
    opening_mm = models.FloatField(null=True, blank=True)
    notes = models.TextField(blank=True)
    moves = models.BooleanField(default=False)

    class Meta:
        ordering: ClassVar = ["position", "id"]
        indexes: ClassVar = [models.Index(fields=["plan", "position", "id"], name="planning_run_order")]

    def __str__(self) -> str:
        return f"{self.start} to {self.end}"


class CircuitRow(PlanPart):
    """A circuit of a plan."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="circuits", db_index=False)
    name = models.CharField(max_length=MAX_NAME)
    section = models.CharField(max_length=MAX_NAME)
    feed = models.CharField(max_length=MAX_NAME)
    fed_at = models.CharField(max_length=MAX_NAME)
    load = models.CharField(max_length=MAX_NAME)
    load_at = models.JSONField(default=list)
    kind = models.CharField(max_length=20, choices=[(k.value, k.value) for k in Kind])
    load_a = models.FloatField(null=True, blank=True)
    load_w = models.FloatField(null=True, blank=True)
    disposition = models.CharField(max_length=20, choices=[(d.value, d.value) for d in Disposition])
    switch_at = models.CharField(max_length=MAX_NAME, blank=True)
    switch = models.CharField(max_length=MAX_NAME, blank=True)
    relay_at = models.CharField(max_length=MAX_NAME, blank=True)
    duty = models.CharField(max_length=20, choices=[(d.value, d.value) for d in Duty])
    return_by = models.CharField(max_length=20, choices=[(r.value, r.value) for r in Return])
    ground_at = models.CharField(max_length=MAX_NAME, blank=True)
    max_drop_percent = models.FloatField(null=True, blank=True)
    safety = models.BooleanField(default=False)
    colour = models.CharField(max_length=20, blank=True)
    size = models.CharField(max_length=20, blank=True)
    fuse_a = models.FloatField(null=True, blank=True)
    fuse_family = models.CharField(max_length=20, blank=True, choices=[(f.value, f.value) for f in FuseFamily])
    switch_a = models.FloatField(null=True, blank=True)
    relay_a = models.FloatField(null=True, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["position", "id"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["plan", "name"], name="planning_circuit_once")]
        indexes: ClassVar = [models.Index(fields=["plan", "position", "id"], name="planning_circuit_order")]

    def __str__(self) -> str:
        return self.name


class ConnectorRow(PlanPart):
    """A connector body, or a unit with leads, of a plan."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="connectors", db_index=False)
    name = models.CharField(max_length=MAX_NAME)
    place = models.CharField(max_length=MAX_NAME)
    series = models.CharField(max_length=MAX_NAME, blank=True)
    half = models.CharField(max_length=20, choices=[(h.value, h.value) for h in Half])
    ways = models.PositiveIntegerField(null=True, blank=True)
    keying = models.CharField(max_length=MAX_NAME, blank=True)
    mates_with = models.CharField(max_length=MAX_NAME, blank=True)
    body_mm = models.FloatField(null=True, blank=True)
    min_area_mm2 = models.FloatField(null=True, blank=True)
    max_area_mm2 = models.FloatField(null=True, blank=True)
    contact_a = models.FloatField(null=True, blank=True)
    in_loom = models.BooleanField(default=False)
    notes = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["position", "id"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["plan", "name"], name="planning_connector_once")]

    def __str__(self) -> str:
        return self.name


class CavityRow(PlanPart):
    """A cavity of a connector of a plan."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="cavities", db_index=False)
    connector = models.CharField(max_length=MAX_NAME)
    label = models.CharField(max_length=MAX_NAME)
    circuit = models.CharField(max_length=MAX_NAME, blank=True)
    holds = models.CharField(max_length=20, choices=[(h.value, h.value) for h in Holds])
    colour = models.CharField(max_length=20, blank=True)
    notes = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["position", "id"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["plan", "connector", "label"], name="planning_cavity_once")
        ]

    def __str__(self) -> str:
        return f"{self.connector} {self.label}"


class MountingRow(PlanPart):
    """A part that is mounted during the work of a plan."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="mountings", db_index=False)
    part = models.CharField(max_length=MAX_NAME)
    place = models.CharField(max_length=MAX_NAME, blank=True)
    hides = models.JSONField(default=list)
    wired_first = models.BooleanField(default=False)
    notes = models.TextField(blank=True)

    class Meta:
        ordering: ClassVar = ["position", "id"]
        constraints: ClassVar = [models.UniqueConstraint(fields=["plan", "part"], name="planning_mounting_once")]

    def __str__(self) -> str:
        return self.part


class PositionRow(PlanPart):
    """A position of a fuse panel of a plan; ``position`` is its place in the list."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="positions", db_index=False)
    panel = models.CharField(max_length=MAX_NAME)
    label = models.CharField(max_length=MAX_NAME)
    bus = models.CharField(max_length=MAX_NAME)
    family = models.CharField(max_length=20, blank=True)
    max_a = models.FloatField(null=True, blank=True)
    circuit = models.CharField(max_length=MAX_NAME, blank=True)

    class Meta:
        ordering: ClassVar = ["position", "id"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["plan", "panel", "label"], name="planning_position_once")
        ]

    def __str__(self) -> str:
        return f"{self.panel} {self.label}"


class BuildRulesRow(models.Model):
    """The shop's build rules: one row. ``fields`` holds what differs from the rules' own defaults, by name."""

    fields = models.JSONField(default=dict)
    version = models.PositiveIntegerField(default=1)
    stamp = models.CharField(max_length=16, default=new_stamp)
    updated_at = models.DateTimeField(auto_now=True)
    updated_by = models.CharField(max_length=150, blank=True)

    def __str__(self) -> str:
        return f"build rules {self.version}"


class PlanChange(models.Model):
    """One change of a plan, as it was before and after: who, when, what. Never altered."""

    plan = models.ForeignKey(PlanRow, on_delete=models.CASCADE, related_name="changes", db_index=False)
    plan_version = models.PositiveIntegerField()
    at = models.DateTimeField(auto_now_add=True)
    by = models.CharField(max_length=150, blank=True)
    what = models.CharField(max_length=40)
    subject = models.CharField(max_length=MAX_NAME, blank=True)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)

    class Meta:
        ordering: ClassVar = ["-id"]
        indexes: ClassVar = [
            models.Index(fields=["plan", "-id"], name="planning_change_latest"),
            models.Index(fields=["plan", "subject", "-id"], name="planning_change_subject"),
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.subject}".strip()
