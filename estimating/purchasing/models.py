"""Rows of purchasing: suppliers with their offers, runs, orders, deliveries, and what is reserved for which job."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from estimating.purchasing.states import OPEN_RUNS
from estimating.purchasing.states import OrderState as OrderState
from estimating.purchasing.states import RunState as RunState
from estimating.quotes.models import NOT_NEGATIVE, text_of
from estimating.stock.models import MAX_REF, HoldingRow, MaterialRow

FROM_1 = MinValueValidator(1)
MAX_TIME_LIMIT_S = 300
"""A run may search twice, the second time with dates let go, and no task may take longer than 15 minutes."""


def money_field(**options: Any) -> models.DecimalField:
    """An amount of money."""
    return models.DecimalField(max_digits=12, decimal_places=3, validators=[NOT_NEGATIVE], **options)


def choices_of(words: type[StrEnum]) -> list[tuple[str, str]]:
    """Choices of a field from the members of a ``StrEnum``."""
    return [(word.value, word.value) for word in words]


def pack_words(length_mm: int | None, pack: int) -> str:
    """What one pack is.

    Examples
    --------
    >>> pack_words(25_000, 1), pack_words(None, 50), pack_words(None, 1)
    ('roll of 25 m', 'pack of 50', 'single')
    """
    if length_mm:
        return f"roll of {length_mm / 1000:g} m"
    return f"pack of {pack}" if pack > 1 else "single"


class SupplierRow(models.Model):
    """Who sells."""

    name = models.CharField(max_length=80, unique=True)
    address = text_of(600)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=60, blank=True)
    account = models.CharField("our account", max_length=60, blank=True)
    min_order = money_field(default=0, help_text="Least value of goods of an order")
    carriage = money_field(default=0, help_text="Flat, for each order")
    carriage_free_from = money_field(null=True, blank=True, help_text="Value of goods; blank: never free")
    is_used = models.BooleanField("order from them", default=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class OfferRow(models.Model):
    """A pack or a roll that a supplier sells."""

    supplier = models.ForeignKey(SupplierRow, on_delete=models.CASCADE, related_name="offers")
    material = models.ForeignKey(MaterialRow, on_delete=models.PROTECT, related_name="offers")
    part_number = models.CharField("their number", max_length=60, blank=True)
    length_mm = models.PositiveIntegerField(null=True, blank=True)
    pack = models.PositiveIntegerField(default=1, validators=[FROM_1])
    multiple = models.PositiveIntegerField(default=1, validators=[FROM_1])
    lead_days = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(1000)])
    is_used = models.BooleanField("order it", default=True)

    class Meta:
        ordering = ["supplier", "material", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(pack__gte=1, multiple__gte=1), name="purchasing_offer_from_1"),
            models.CheckConstraint(condition=Q(length_mm=None) | Q(length_mm__gt=0, pack=1), name="purchasing_roll"),
        ]

    def __str__(self) -> str:
        return f"{self.material}, {self.pack_words}"

    @property
    def pack_words(self) -> str:
        """What one pack is."""
        return pack_words(self.length_mm, self.pack)


class BreakRow(models.Model):
    """Price of one pack from a quantity on."""

    offer = models.ForeignKey(OfferRow, on_delete=models.CASCADE, related_name="breaks")
    from_packs = models.PositiveIntegerField(validators=[FROM_1])
    price = money_field()

    class Meta:
        ordering = ["offer", "from_packs"]
        constraints = [models.UniqueConstraint(fields=["offer", "from_packs"], name="purchasing_one_break")]

    def __str__(self) -> str:
        return f"{self.from_packs}: {self.price}"


class BuyingRow(models.Model):
    """How the shop buys and cuts. There is one row."""

    horizon_days = models.PositiveSmallIntegerField(
        default=14, validators=[FROM_1, MaxValueValidator(365)], help_text="Jobs that start within so many days"
    )
    days_before_start = models.PositiveSmallIntegerField(
        default=1, validators=[MaxValueValidator(60)], help_text="Days before a job starts that its material must be in"
    )
    blade_loss_mm = models.PositiveSmallIntegerField(
        default=0, validators=[MaxValueValidator(100)], help_text="Lost with every cut"
    )
    min_offcut_mm = models.PositiveIntegerField(
        default=500, validators=[MaxValueValidator(100_000)], help_text="Shorter ends are scrap"
    )
    time_limit_s = models.PositiveSmallIntegerField(
        default=20,
        validators=[FROM_1, MaxValueValidator(MAX_TIME_LIMIT_S)],
        help_text="Then the best plan so far is taken",
    )
    may_be_thicker = models.BooleanField(default=False, help_text="Of the same colour; never thinner, never less heat")
    max_area_ratio = models.FloatField(default=1.7, validators=[FROM_1, MaxValueValidator(10)])
    must_fit_terminal = models.BooleanField(default=True)
    colours = text_of(2000, "One pair a line: wanted > may be used instead, e.g. GN > GN/WH")
    pairs = text_of(4000, "One pair a line: wanted > may be used instead, as the stock list names them")
    workdays = models.CharField(max_length=7, default="12345", help_text="1 = Monday to 7 = Sunday")
    holidays = text_of(4000, "One day a line, e.g. 2026-12-25")

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="purchasing_one_rules")]

    def __str__(self) -> str:
        return f"Buying, {self.horizon_days} days ahead"


class RunRow(models.Model):
    """One planning of what to buy: what it was asked, how far it is, what it found."""

    state = models.CharField(max_length=10, choices=choices_of(RunState), default=RunState.WAITING)
    started_at = models.DateTimeField()
    started_by = models.CharField(max_length=160)
    over_at = models.DateTimeField(null=True, blank=True)
    today = models.DateField()
    work = models.JSONField(help_text="Jobs that were asked for, with their dates")
    lets_dates_move = models.BooleanField(default=False)
    time_limit_s = models.PositiveSmallIntegerField(default=0, help_text="Of all its searches together")
    is_cancelled = models.BooleanField(default=False, help_text="Somebody pressed Stop")
    outbox_row = models.BigIntegerField(null=True, blank=True)
    fingerprint = models.CharField(max_length=64, blank=True, help_text="Of everything it was worked out from")
    result = models.JSONField(null=True, blank=True)
    best_cost = money_field(null=True, blank=True)
    lower_bound = money_field(null=True, blank=True)
    rounds = models.PositiveIntegerField(default=0)
    elapsed_s = models.FloatField(default=0)
    fault = models.TextField(blank=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                models.Value(1), condition=Q(state__in=[state.value for state in OPEN_RUNS]), name="purchasing_one_run"
            )
        ]

    def __str__(self) -> str:
        return f"Run {self.pk}: {self.state}"

    @property
    def is_open(self) -> bool:
        """True while it is waiting or working."""
        return self.state in OPEN_RUNS

    @property
    def gap_percent(self) -> Decimal | None:
        """How much of the best cost a cheaper plan could still save, at most; None while nothing is known."""
        if self.best_cost is None or self.lower_bound is None or not self.rounds:
            return None
        share = (self.best_cost - self.lower_bound) / self.best_cost if self.best_cost else Decimal(0)
        return (100 * share).quantize(Decimal("0.01"))


class OrderRow(models.Model):
    """A purchase order to one supplier."""

    number = models.CharField(max_length=20, unique=True)
    supplier = models.ForeignKey(SupplierRow, on_delete=models.PROTECT, related_name="orders")
    run = models.ForeignKey(RunRow, on_delete=models.PROTECT, null=True, blank=True, related_name="orders")
    state = models.CharField(max_length=10, choices=choices_of(OrderState), default=OrderState.DRAFT)
    addressee = text_of(800)
    currency = models.CharField(max_length=3)
    goods = money_field()
    carriage = money_field()
    terms = models.JSONField(default=dict, help_text="The supplier's terms as buying took them")
    note = text_of(1000)
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=160)
    sent_at = models.DateTimeField(null=True, blank=True)
    sent_by = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=["draft", "withdrawn"]) | Q(sent_at__isnull=False, sent_by__gt=""),
                name="purchasing_sent_is_signed",
            )
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def total(self) -> Any:
        """Goods and carriage."""
        return self.goods + self.carriage


class OrderLineRow(models.Model):
    """One line of an order, as it was when the order was made."""

    order = models.ForeignKey(OrderRow, on_delete=models.PROTECT, related_name="lines")
    material = models.ForeignKey(MaterialRow, on_delete=models.PROTECT, related_name="order_lines")
    part_number = models.CharField(max_length=60, blank=True)
    length_mm = models.PositiveIntegerField(null=True, blank=True)
    pack = models.PositiveIntegerField(default=1)
    packs = models.PositiveIntegerField(validators=[FROM_1])
    price = money_field()
    net = money_field()
    offered = models.JSONField(default=dict, help_text="The offer as buying took it")
    arrives = models.DateField()
    came_packs: int
    """Packs that have come, where a read brought it along."""

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.packs} × {self.material}"

    @property
    def pack_words(self) -> str:
        """What one pack is."""
        return pack_words(self.length_mm, self.pack)


class DeliveryRow(models.Model):
    """Goods that came for an order."""

    order = models.ForeignKey(OrderRow, on_delete=models.PROTECT, related_name="deliveries")
    token = models.CharField(max_length=40, unique=True, help_text="Of the form it was entered on: entered once")
    note_number = models.CharField(max_length=60, blank=True)
    came_at = models.DateTimeField()
    by = models.CharField(max_length=160)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"Delivery {self.pk}"


class DeliveryLineRow(models.Model):
    """Packs of one line that came, and their price where it differs."""

    delivery = models.ForeignKey(DeliveryRow, on_delete=models.PROTECT, related_name="lines")
    line = models.ForeignKey(OrderLineRow, on_delete=models.PROTECT, related_name="came")
    packs = models.PositiveIntegerField(validators=[FROM_1])
    price = money_field(null=True, blank=True)

    class Meta:
        ordering = ["delivery", "line"]
        constraints = [models.UniqueConstraint(fields=["delivery", "line"], name="purchasing_one_line_a_delivery")]

    def __str__(self) -> str:
        return f"{self.packs} of line {self.line_id}"


class ReservationRow(models.Model):
    """What a job gets, and from where: stock, an order that is under way, or nowhere yet.

    ``cut`` names the wire; counted parts and joinable metres have none.
    """

    job = models.CharField(max_length=MAX_REF, db_index=True)
    kind = models.CharField(max_length=180, help_text="Key of the kind that is wanted")
    cut = models.CharField(max_length=120, blank=True)
    circuits = models.TextField(blank=True)
    amount = models.PositiveIntegerField(help_text="Pieces or millimetres")
    needed_by = models.DateField(null=True, blank=True, help_text="Last day on which it may come in")
    holding = models.ForeignKey(HoldingRow, on_delete=models.PROTECT, null=True, blank=True, related_name="reserved")
    order_line = models.ForeignKey(
        OrderLineRow, on_delete=models.PROTECT, null=True, blank=True, related_name="reserved"
    )
    roll = models.PositiveIntegerField(default=0, help_text="Which roll of the order's line, from 1")
    issued_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["job", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(holding=None) | Q(order_line=None), name="purchasing_from_one_source"),
            models.CheckConstraint(
                condition=Q(issued_at=None) | Q(holding__isnull=False), name="purchasing_issued_from_stock"
            ),
            models.CheckConstraint(condition=Q(amount__gt=0), name="purchasing_reserves_something"),
        ]

    def __str__(self) -> str:
        return f"{self.job}: {self.cut or self.kind}"


class SettledRow(models.Model):
    """A job that needs no more material: it was built from what was there, or the rest is not worth an order."""

    job = models.CharField(max_length=MAX_REF, unique=True)
    at = models.DateTimeField()
    by = models.CharField(max_length=160)

    class Meta:
        ordering = ["job"]

    def __str__(self) -> str:
        return self.job
