"""Cut list and labels as CSV: for spreadsheets, and for a label printer."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from estimating.purchasing.cut_list import CutRow
from estimating.quotes.csv_out import csv_bytes

CUT_HEADER = (
    "wire", "circuit", "size", "colour", "length_m", "from", "from_device", "from_terminal", "from_strip_mm", "to",
    "to_device", "to_terminal", "to_strip_mm", "roll", "bin", "note",
)  # fmt: skip
LABEL_HEADER = ("wire", "job", "size_colour", "from", "to")


def cut_csv(cuts: Sequence[CutRow]) -> bytes:
    """The cut list."""
    return csv_bytes(CUT_HEADER, (_cells(cut) for cut in cuts))


def _cells(cut: CutRow) -> list[str | Decimal | None]:
    start, end = cut.start, cut.end
    return [
        *(cut.number, cut.circuit, cut.size, cut.colour, Decimal(cut.length_mm) / 1000),
        *(start.place, start.device, start.terminal, Decimal(start.strip_mm)),
        *(end.place, end.device, end.terminal, Decimal(end.strip_mm)),
        *(cut.roll, cut.bin, cut.note),
    ]


def label_csv(cuts: Sequence[CutRow], job: str, each: int) -> bytes:
    """Labels for a label printer, ``each`` a wire, in the order of the bench."""
    rows = (
        [cut.number, job, f"{cut.size} {cut.colour}", cut.start.place, cut.end.place]
        for cut in cuts
        for _ in range(each)
    )
    return csv_bytes(LABEL_HEADER, rows)


def label_texts(cuts: Sequence[CutRow], each: int) -> list[tuple[str, str, str]]:
    """Labels to be printed on a sheet, ``each`` a wire."""
    return [
        (cut.number, f"{cut.size} {cut.colour}", f"{cut.start.place} → {cut.end.place}")
        for cut in cuts
        for _ in range(each)
    ]
