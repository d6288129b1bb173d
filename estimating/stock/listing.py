"""The stock as CSV."""

from __future__ import annotations

from decimal import Decimal

from estimating.quotes.csv_out import csv_bytes
from estimating.stock.models import MaterialQuerySet, MaterialRow

HEADER = ("kind", "spec", "insulation_c", "bin", "level", "unit", "order_below")


def stock_csv(rows: MaterialQuerySet) -> bytes:
    """Every material with its level: pieces, or metres."""
    return csv_bytes(HEADER, (_cells(row) for row in rows.iterator()))


def _cells(row: MaterialRow) -> list[str | Decimal | None]:
    scale = Decimal(1000) if row.is_length else Decimal(1)
    return [
        row.kind,
        row.spec,
        Decimal(row.insulation_c) if row.insulation_c else None,
        row.bin,
        Decimal(row.level) / scale,
        "m" if row.is_length else "piece",
        Decimal(row.low_level) / scale if row.low_level else None,
    ]
