"""What a shop decides once about how it builds: stocked series, allowances, limits. Plain values."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from circuits.bounds import require, require_not_negative, require_positive, require_share, require_within
from circuits.plan import FuseFamily


class Series(StrEnum):
    """Size series a shop stocks."""

    AWG = "AWG"
    MM2 = "mm²"


STOCKED_SIZES: dict[Series, tuple[str, ...]] = {
    Series.AWG: tuple(
        f"{size} AWG" for size in ("18", "16", "14", "12", "10", "8", "6", "4", "2", "1/0", "2/0", "4/0")
    ),
    Series.MM2: tuple(
        f"{size} mm²" for size in ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95")
    ),
}
"""Sizes a shop is taken to stock until it says otherwise (common practice, no source)."""


class AmpacityBy(StrEnum):
    """What says how much a wire carries."""

    LOWER = "lower of table and heat balance"
    TABLE = "table"
    HEAT = "heat balance"


INSULATION_CLASSES_C = (60, 75, 80, 90, 105, 125, 200)
"""Conductor temperature classes for which an ampacity table is held (33 CFR 183.425 Table 5)."""


MAX_DROP_PERCENT = 50.0
"""Greatest drop limit anyone may set [%]: beyond it a load does not work."""


@dataclass(frozen=True, slots=True)
class SizingRules:
    """How wires and fuses are chosen.

    Parameters
    ----------
    series : Series
    sizes : tuple of str
        Stocked labels, any order; empty = ``STOCKED_SIZES[series]``.
    insulation_class_c : int
        One of ``INSULATION_CLASSES_C`` [°C].
    min_area_mm2 : float
        Mechanical minimum [mm²] (0.75: ISO 10133:2012 7.7, conductor in a multiconductor sheath).
    fuse_family : FuseFamily
        Family used where the plan gives none.
    continuous_share, intermittent_share : float
        Greatest load as a share of the fuse rating.
    min_fuse_a : float
        Smallest rating the shop fits [A]; 0 = the smallest of the family.
    contact_ohm : float
        Resistance of one joint or contact [ohm] (common practice, no source).
    coil_a : float
        Current of a relay coil [A] (common practice, no source: 12 V mini relay, about 85 ohm).
    feeder_max_drop_percent : float
        Drop a feeder may have where the plan sets none [%] (2: AC 43.13-1B chapter 11, generator or battery to bus).
    tap_drop_share : float
        Share of the tightest drop limit behind it that a circuit may use up which is tapped for another.
    ampacity_by : AmpacityBy
        What says how much a wire carries: the lower of table and heat balance, or one of the two.
    """

    series: Series = Series.AWG
    sizes: tuple[str, ...] = ()
    insulation_class_c: int = 125
    min_area_mm2: float = 0.75
    fuse_family: FuseFamily = FuseFamily.BLADE
    continuous_share: float = 0.75
    intermittent_share: float = 1.0
    min_fuse_a: float = 0.0
    contact_ohm: float = 0.0005
    coil_a: float = 0.2
    feeder_max_drop_percent: float = 2.0
    tap_drop_share: float = 0.4
    ampacity_by: AmpacityBy = AmpacityBy.LOWER

    def __post_init__(self) -> None:
        require(
            self.ampacity_by in list(AmpacityBy),
            f"ampacity_by must be one of {', '.join(AmpacityBy)}, got {self.ampacity_by}",
        )
        require(
            self.insulation_class_c in INSULATION_CLASSES_C,
            f"insulation class must be one of {INSULATION_CLASSES_C}, got {self.insulation_class_c}",
        )
        for name in ("continuous_share", "intermittent_share"):
            require_share(getattr(self, name), name)
        require(0 < self.tap_drop_share < 1, f"tap_drop_share must lie between 0 and 1, got {self.tap_drop_share}")
        require(
            0 < self.feeder_max_drop_percent <= MAX_DROP_PERCENT,
            f"feeder_max_drop_percent must be above 0 and at most {MAX_DROP_PERCENT:g}, "
            f"got {self.feeder_max_drop_percent}",
        )
        for name in ("min_area_mm2", "coil_a"):
            require_positive(getattr(self, name), name)
        for name in ("contact_ohm", "min_fuse_a"):
            require_not_negative(getattr(self, name), name)

    @property
    def stocked(self) -> tuple[str, ...]:
        """Labels of the stocked sizes."""
        return self.sizes or STOCKED_SIZES[self.series]


@dataclass(frozen=True, slots=True)
class LengthRules:
    """Allowances that turn a path into a cut length: ``path × (1 + slack) + 2 × end``, and loops on its way.

    Parameters
    ----------
    end_allowance_m : float
        Added at each end for termination and service [m] (common practice, no source).
    slack_ratio : float
        Share of the path added for lie and service (common practice, no source).
    ground_pigtail_m : float
        Path of a return whose ground point is at the load [m] (common practice, no source).
    moving_loop_m : float
        Loop at each stretch that moves, so that it can [m] (common practice, no source).
    drip_loop_m : float
        Loop before each opening, so that water drips off below it [m]; 0 = none, the usual lie of the loom does.
    """

    end_allowance_m: float = 0.10
    slack_ratio: float = 0.05
    ground_pigtail_m: float = 0.20
    moving_loop_m: float = 0.15
    drip_loop_m: float = 0.0

    def __post_init__(self) -> None:
        for name in ("end_allowance_m", "slack_ratio", "ground_pigtail_m", "moving_loop_m", "drip_loop_m"):
            require_not_negative(getattr(self, name), name)

    def cut_length_m(self, path_m: float, loops_m: float = 0.0) -> float:
        """Length to cut for a path of ``path_m`` with loops of ``loops_m`` on its way [m].

        Examples
        --------
        >>> round(LengthRules().cut_length_m(2.0), 3), round(LengthRules().cut_length_m(2.0, loops_m=0.15), 3)
        (2.3, 2.45)
        """
        return path_m * (1 + self.slack_ratio) + loops_m + 2 * self.end_allowance_m


class RouteBy(StrEnum):
    """Which way a wire takes where there are several."""

    SHORTEST = "shortest"
    GENTLEST = "cooler and still, where not much longer"


@dataclass(frozen=True, slots=True)
class RouteRules:
    """What a hot or moving stretch counts for when ways are compared.

    Parameters
    ----------
    route_by : RouteBy
        The shortest way, or the one of least length with hot and moving stretches counted longer.
    hot_from_c : float
        Ambient above which a stretch counts as hot [°C] (common practice, no source).
    hot_per_k : float
        Share by which a stretch counts longer per kelvin above that (common practice, no source: 2 % a kelvin, so that
        50 K hotter counts double).
    moving_share : float
        Share by which a stretch that moves counts longer (common practice, no source: double).
    """

    route_by: RouteBy = RouteBy.SHORTEST
    hot_from_c: float = 40.0
    hot_per_k: float = 0.02
    moving_share: float = 1.0

    def __post_init__(self) -> None:
        require(self.route_by in list(RouteBy), f"route_by must be one of {', '.join(RouteBy)}, got {self.route_by}")
        require_within(self.hot_from_c, -60, 250, "hot_from_c")
        for name in ("hot_per_k", "moving_share"):
            require_within(getattr(self, name), 0, 10, name)

    def counted_m(self, length_m: float, ambient_c: float, *, moves: bool) -> float:
        """What a stretch counts for [m].

        Parameters
        ----------
        length_m : float
            Its length [m].
        ambient_c : float
            Where it lies [°C].
        moves : bool

        Examples
        --------
        >>> rules = RouteRules()
        >>> rules.counted_m(1.0, 40.0, moves=False), rules.counted_m(1.0, 90.0, moves=True)
        (1.0, 3.0)
        """
        hot = self.hot_per_k * max(0.0, ambient_c - self.hot_from_c)
        return length_m * (1 + hot + (self.moving_share if moves else 0.0))


@dataclass(frozen=True, slots=True)
class PanelRules:
    """How a fuse panel is laid out.

    Parameters
    ----------
    spare_share : float
        Spare positions on each bus as a share of its fuses, rounded up (common practice, no source).
    heavy_share : float
        Continuous load as a share of the rating from which a fuse counts as heavy (common practice, no source).
    heavy_from_a : float
        Least rating that counts as heavy [A]: a small fuse gives off too little heat (common practice, no source).
    """

    spare_share: float = 0.2
    heavy_share: float = 0.6
    heavy_from_a: float = 15.0

    def __post_init__(self) -> None:
        require_within(self.spare_share, 0, 2, "spare_share")
        require_share(self.heavy_share, "heavy_share")
        require_not_negative(self.heavy_from_a, "heavy_from_a")


@dataclass(frozen=True, slots=True)
class SupplyRules:
    """What battery, alternator, panels and contacts are taken for where the plan does not say.

    Parameters
    ----------
    usable_share : float
        Share of the battery's capacity that may be gone and the engine still cranks (common practice, no source).
    least_days : float
        Days that a parked vehicle is to start after (common practice, no source).
    panel_bus_a : float
        Greatest current of a panel's bus bar [A] (common practice, no source); 0 = not known.
    switch_a : float
        Resistive rating of a switch at system voltage [A] (common practice, no source).
    key_switch_a : float
        The same of the key switch [A] (common practice, no source).
    """

    usable_share: float = 0.5
    least_days: float = 7.0
    panel_bus_a: float = 100.0
    switch_a: float = 20.0
    key_switch_a: float = 30.0

    def __post_init__(self) -> None:
        require_share(self.usable_share, "usable_share")
        for name in ("switch_a", "key_switch_a"):
            require_positive(getattr(self, name), name)
        for name in ("least_days", "panel_bus_a"):
            require_not_negative(getattr(self, name), name)


class ColourBy(StrEnum):
    """What gets a colour of its own."""

    CIRCUIT = "one for each circuit"
    NET = "another on each side of a switch or relay"


@dataclass(frozen=True, slots=True)
class ColourRules:
    """How wires are coloured.

    Parameters
    ----------
    colour_by : ColourBy
        One colour a circuit takes fewer kinds of wire; another on each side of a switch or relay leaves no two wires of
        a bundle alike that are not one conductor. A colour that the plan gives is then that of the way to the load.
    """

    colour_by: ColourBy = ColourBy.CIRCUIT

    def __post_init__(self) -> None:
        require(
            self.colour_by in list(ColourBy), f"colour_by must be one of {', '.join(ColourBy)}, got {self.colour_by}"
        )


@dataclass(frozen=True, slots=True)
class BuildRules:
    """Everything the ground floor needs to know of the shop."""

    sizing: SizingRules = field(default_factory=SizingRules)
    lengths: LengthRules = field(default_factory=LengthRules)
    panel: PanelRules = field(default_factory=PanelRules)
    routes: RouteRules = field(default_factory=RouteRules)
    supply: SupplyRules = field(default_factory=SupplyRules)
    colours: ColourRules = field(default_factory=ColourRules)
