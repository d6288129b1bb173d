"""The build rules as a form, in the units a shop thinks in. The rules' own classes judge the values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from circuits.electrical.conductors import conductors
from circuits.errors import LoomwrightError, PlanError, QuantityError
from circuits.plan import FuseFamily
from circuits.rules import (
    INSULATION_CLASSES_C,
    STOCKED_SIZES,
    AmpacityBy,
    BuildRules,
    ColourBy,
    ColourRules,
    LengthRules,
    PanelRules,
    RouteBy,
    RouteRules,
    Series,
    SizingRules,
    SupplyRules,
)
from circuits.units import (
    exact,
    parse_current_a,
    parse_length_m,
    parse_milliohm_ohm,
    parse_percent,
    parse_temperature_c,
)


def _area(text: str) -> float:
    number = text.strip().casefold().removesuffix("mm²").removesuffix("mm2").strip().replace(",", ".")
    try:
        return float(number)
    except ValueError:
        raise QuantityError(f"{text!r} is no area; expected an area such as 0.75 mm²") from None


def _share(text: str) -> float:
    return round(parse_percent(text) / 100, 9)


def _days(text: str) -> float:
    try:
        return float(text.strip().casefold().removesuffix("days").removesuffix("day").strip().replace(",", "."))
    except ValueError:
        raise QuantityError(f"{text!r} is no number of days; expected one such as 7") from None


@dataclass(frozen=True, slots=True)
class Figure:
    """A rule that is one figure: label, help, how to read it, and its digits times ten to the ``shift``."""

    label: str
    help: str
    read: Callable[[str], float]
    shift: int = 0


SIZING_FIGURES = {
    "min_area_mm2": Figure("Thinnest wire mm²", "Mechanical minimum, whatever the current.", _area),
    "continuous_share": Figure("Continuous load, % of fuse", "Greatest load over 10 minutes.", _share, 2),
    "intermittent_share": Figure("Intermittent load, % of fuse", "Greatest load up to 10 minutes.", _share, 2),
    "min_fuse_a": Figure(
        "Smallest fuse A", "Smallest rating the shop fits; 0 = the smallest there is.", parse_current_a
    ),
    "contact_ohm": Figure("One contact mΩ", "Resistance of a joint or contact.", parse_milliohm_ohm, 3),
    "coil_a": Figure("Relay coil A", "Current of a relay coil.", parse_current_a),
    "feeder_max_drop_percent": Figure("Drop of a feeder, %", "Where the plan sets none.", parse_percent),
    "tap_drop_share": Figure(
        "Tapped circuit, % of drop", "Share of the drop limit behind the tap that it may use up.", _share, 2
    ),
}
LENGTH_FIGURES = {
    "end_allowance_m": Figure("At each end m", "For termination and service.", parse_length_m),
    "slack_ratio": Figure("Slack, % of path", "For lie and service.", _share, 2),
    "ground_pigtail_m": Figure("Ground pigtail m", "Return whose ground point is at the load.", parse_length_m),
    "moving_loop_m": Figure(
        "Loop where it moves m", "At each stretch that bends in use: door hinge, column.", parse_length_m
    ),
    "drip_loop_m": Figure("Drip loop m", "Before each opening; 0 = none.", parse_length_m),
}
PANEL_FIGURES = {
    "spare_share": Figure("Spare positions, % of fuses", "On each bus of a panel, rounded up.", _share, 2),
    "heavy_share": Figure(
        "Heavy from % of fuse", "Continuous load; two heavy fuses are not put side by side.", _share, 2
    ),
    "heavy_from_a": Figure("Heavy from rating A", "Smaller fuses give off too little heat to count.", parse_current_a),
}
ROUTE_FIGURES = {
    "hot_from_c": Figure(
        "Hot from °C", "A stretch above it counts longer when ways are compared.", parse_temperature_c
    ),
    "hot_per_k": Figure("Hot, % longer a kelvin", "How much longer it counts.", _share, 2),
    "moving_share": Figure("Moving, % longer", "How much longer a stretch counts that bends in use.", _share, 2),
}
SUPPLY_FIGURES = {
    "usable_share": Figure("Usable charge, % of battery", "May be gone, and the engine still cranks.", _share, 2),
    "least_days": Figure("Parked days", "A vehicle is to start after so many days; 0 = not looked at.", _days),
    "panel_bus_a": Figure("Bus bar of a panel A", "Greatest current; 0 = not known.", parse_current_a),
    "switch_a": Figure("Usual switch A", "Resistive rating of a switch whose rating is not known.", parse_current_a),
    "key_switch_a": Figure("Usual key switch A", "The same of the key switch.", parse_current_a),
}
FIGURES = SIZING_FIGURES | LENGTH_FIGURES | PANEL_FIGURES | ROUTE_FIGURES | SUPPLY_FIGURES


class BuildRulesForm(forms.Form):
    """What a shop decides once about how it builds."""

    series = forms.ChoiceField(
        label="Wire series", choices=[(series.value, series.value) for series in Series], widget=forms.RadioSelect
    )
    sizes_awg = forms.MultipleChoiceField(
        label="AWG sizes in stock", required=False, widget=forms.CheckboxSelectMultiple
    )
    sizes_mm2 = forms.MultipleChoiceField(
        label="mm² sizes in stock", required=False, widget=forms.CheckboxSelectMultiple
    )
    insulation_class_c = forms.TypedChoiceField(
        label="Insulation class",
        coerce=int,
        choices=[(c, f"{c} °C") for c in INSULATION_CLASSES_C],
        help_text="Conductor temperature the insulation bears.",
    )
    fuse_family = forms.ChoiceField(
        label="Usual fuse family", choices=[(f.value, f.value) for f in FuseFamily if f is not FuseFamily.NONE]
    )

    ampacity_by = forms.ChoiceField(
        label="What a wire carries",
        choices=[(by.value, by.value) for by in AmpacityBy],
        help_text="Published table, heat balance of the wire where it lies, or the lower of the two.",
    )

    route_by = forms.ChoiceField(
        label="Way of a wire",
        choices=[(by.value, by.value) for by in RouteBy],
        help_text="Where there are several. The loom page shows what the other way would save.",
    )

    colour_by = forms.ChoiceField(
        label="Wire colours",
        choices=[(by.value, by.value) for by in ColourBy],
        help_text="Another on each side takes more kinds of wire; a given colour is then that of the load's side.",
    )

    def __init__(self, data: Any, rules: BuildRules) -> None:
        super().__init__(data, initial=initial(rules))
        for name, figure in FIGURES.items():
            self.fields[name] = forms.CharField(
                label=figure.label,
                help_text=figure.help,
                max_length=40,
                widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            )
        for name, series in (("sizes_awg", Series.AWG), ("sizes_mm2", Series.MM2)):
            labels = [size.label for size in conductors(series)]
            self.fields[name].choices = [(label, label) for label in labels]  # type: ignore[attr-defined]
        self.rules: BuildRules | None = None

    def clean(self) -> dict[str, Any]:
        """Read the figures; let the rules' own classes refuse what they cannot hold."""
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        figures: dict[str, float] = {}
        for name, figure in FIGURES.items():
            try:
                figures[name] = figure.read(cleaned[name])
            except KeyError:
                continue  # blank: told already
            except QuantityError as error:
                self.add_error(name, str(error))
        if not self.errors:
            self._make(cleaned, figures)
        return cleaned

    def _make(self, cleaned: Mapping[str, Any], figures: Mapping[str, float]) -> None:
        series = Series(cleaned["series"])
        sizes = tuple(cleaned["sizes_awg"] if series is Series.AWG else cleaned["sizes_mm2"])
        try:
            self.rules = BuildRules(
                SizingRules(
                    series=series,
                    sizes=() if sizes == STOCKED_SIZES[series] else sizes,
                    insulation_class_c=cleaned["insulation_class_c"],
                    fuse_family=FuseFamily(cleaned["fuse_family"]),
                    ampacity_by=AmpacityBy(cleaned["ampacity_by"]),
                    **{name: figures[name] for name in SIZING_FIGURES},
                ),
                LengthRules(**{name: figures[name] for name in LENGTH_FIGURES}),
                PanelRules(**{name: figures[name] for name in PANEL_FIGURES}),
                RouteRules(route_by=RouteBy(cleaned["route_by"]), **{name: figures[name] for name in ROUTE_FIGURES}),
                SupplyRules(**{name: figures[name] for name in SUPPLY_FIGURES}),
                ColourRules(ColourBy(cleaned["colour_by"])),
            )
        except (PlanError, LoomwrightError) as error:
            self.add_error(None, str(error))


def initial(rules: BuildRules) -> dict[str, Any]:
    """The rules as the form shows them."""
    sizing = rules.sizing
    figures = {name: exact(getattr(sizing, name), figure.shift) for name, figure in SIZING_FIGURES.items()}
    figures |= {name: exact(getattr(rules.lengths, name), figure.shift) for name, figure in LENGTH_FIGURES.items()}
    figures |= {name: exact(getattr(rules.panel, name), figure.shift) for name, figure in PANEL_FIGURES.items()}
    figures |= {name: exact(getattr(rules.routes, name), figure.shift) for name, figure in ROUTE_FIGURES.items()}
    figures |= {name: exact(getattr(rules.supply, name), figure.shift) for name, figure in SUPPLY_FIGURES.items()}
    return figures | {
        "series": sizing.series.value,
        "sizes_awg": list(sizing.stocked if sizing.series is Series.AWG else STOCKED_SIZES[Series.AWG]),
        "sizes_mm2": list(sizing.stocked if sizing.series is Series.MM2 else STOCKED_SIZES[Series.MM2]),
        "insulation_class_c": sizing.insulation_class_c,
        "fuse_family": sizing.fuse_family.value,
        "ampacity_by": sizing.ampacity_by.value,
        "route_by": rules.routes.route_by.value,
        "colour_by": rules.colours.colour_by.value,
    }
