"""The take-off allowances as a form shows them: words, unit, and the factor from what is typed to what is stored."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AllowanceField:
    """One allowance.

    Parameters
    ----------
    name : str
        Field of ``TakeoffRules``.
    label, unit : str
    factor : float
        What is stored = what is typed × ``factor``.
    is_count : bool
        Whole numbers only.
    """

    name: str
    label: str
    unit: str
    factor: float = 1.0
    is_count: bool = False


ALLOWANCES = (
    AllowanceField("spare_fuses", "Spare fuses of each rating", "pieces", is_count=True),
    AllowanceField("spare_positions_percent", "Empty panel positions for later", "% of those fitted"),
    AllowanceField("clip_spacing_m", "Greatest distance between clips", "m; ISO 10133:2012 7.3 has 0.45"),
    AllowanceField("tape_m_per_loom_m", "Tape for branches and ends", "m per metre of loom"),
    AllowanceField("tape_width_m", "Width of tape", "mm", 0.001),
    AllowanceField("tape_overlap", "Overlap of tape", "% of its width", 0.01),
    AllowanceField("heat_shrink_end_m", "Heat-shrink over a terminal", "mm", 0.001),
    AllowanceField("heat_shrink_splice_m", "Heat-shrink over a splice", "mm", 0.001),
    AllowanceField("labels_per_wire", "Labels on each wire", "pieces", is_count=True),
    AllowanceField("repair_splices", "Splices in a repaired circuit", "pieces", is_count=True),
    AllowanceField("repair_wire_m", "Wire let into a repaired circuit", "m"),
)
