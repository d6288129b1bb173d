"""What a shop decides once about what it counts into a job."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.bounds import require_within

MAX_CLIP_SPACING_M = 0.61
"""Widest support spacing of a loom on metal supports (46 CFR 183.340(b)(4): 24 in)."""

MAX_COUNT = 20
"""Most pieces a rule may ask for per wire, rating or circuit: a guard against slips of the finger."""


@dataclass(frozen=True, slots=True)
class TakeoffRules:
    """Allowances of the take-off.

    Parameters
    ----------
    spare_fuses : int
        Spares per family and rating in the plan, for families that are carried as spares
        (common practice, no source).
    spare_positions_percent : float
        Empty panel positions for later, as a share of the fitted ones, per place and family, rounded up [%]
        (common practice, no source).
    clip_spacing_m : float
        Greatest distance between clips [m] (ISO 10133:2012 7.3: 450 mm); at most ``MAX_CLIP_SPACING_M``.
    tape_m_per_loom_m : float
        Tape for branches and ends per metre of loom [m/m] (common practice, no source).
    tape_width_m, tape_overlap : float
        Width [m] and overlap as a share of the width, for runs whose covering is tape (common practice, no source).
    heat_shrink_end_m, heat_shrink_splice_m : float
        Length over one terminal, and over one splice [m] (common practice, no source).
    labels_per_wire : int
        One at each end (common practice, no source).
    repair_splices : int
        Per repaired circuit (common practice, no source).
    repair_wire_m : float
        Wire let in per repaired circuit [m] (common practice, no source).
    """

    spare_fuses: int = 2
    spare_positions_percent: float = 20.0
    clip_spacing_m: float = 0.45
    tape_m_per_loom_m: float = 0.5
    tape_width_m: float = 0.019
    tape_overlap: float = 0.5
    heat_shrink_end_m: float = 0.03
    heat_shrink_splice_m: float = 0.06
    labels_per_wire: int = 2
    repair_splices: int = 2
    repair_wire_m: float = 0.5

    def __post_init__(self) -> None:
        for name in ("spare_fuses", "labels_per_wire", "repair_splices"):
            require_within(getattr(self, name), 0, MAX_COUNT, name)
        require_within(self.spare_positions_percent, 0, 200, "spare_positions_percent")
        require_within(self.clip_spacing_m, 0.05, MAX_CLIP_SPACING_M, "clip_spacing_m")
        require_within(self.tape_m_per_loom_m, 0, 20, "tape_m_per_loom_m")
        require_within(self.tape_width_m, 0.005, 0.1, "tape_width_m")
        require_within(self.tape_overlap, 0, 0.9, "tape_overlap")
        for name in ("heat_shrink_end_m", "heat_shrink_splice_m"):
            require_within(getattr(self, name), 0, 0.5, name)
        require_within(self.repair_wire_m, 0, 10, "repair_wire_m")
