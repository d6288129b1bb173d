"""Every column of the circuit sheet, described once: editor, templates, readers and writers ask here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from circuits.errors import CellFault
from circuits.plan import BUSES, Covering, Disposition, Duty, FuseFamily, Kind, Return
from circuits.sheets import limits
from circuits.sheets.cells import (
    YES_NO,
    CellError,
    choice,
    quantity,
    read_colour,
    read_places,
    read_size,
    read_system_v,
    read_text,
    read_yes_no,
    write_milliohm,
    write_number,
    write_places,
    write_yes_no,
)
from circuits.units import (
    parse_capacity_ah,
    parse_current_a,
    parse_diameter_mm,
    parse_length_m,
    parse_milliohm_ohm,
    parse_percent,
    parse_power_w,
    parse_temperature_c,
)


@dataclass(frozen=True, slots=True)
class Column:
    """One column (of the vehicle sheet: one key).

    Parameters
    ----------
    name : str
        Header, as in the sheet.
    field : str
        Field of the plan value it fills.
    help : str
        One line for people: what to write.
    parse : callable
        Text that is not blank to value; raises ``CellError``.
    format : callable
        Value to text that parses back to the same value.
    required : bool
    blank : object
        Value of a blank cell.
    default : str
        What a blank cell means, in words; empty where it means nothing.
    choices : tuple of str
        The words it takes, where it takes no others.
    suggestions : tuple of str
        Words it often takes, among others.
    is_number : bool
        True where a plain number is stored as a number in a workbook.
    """

    name: str
    field: str
    help: str
    parse: Callable[[str], Any] = read_text
    format: Callable[[Any], str] = str
    required: bool = False
    blank: Any = ""
    default: str = ""
    choices: tuple[str, ...] = ()
    suggestions: tuple[str, ...] = ()
    is_number: bool = False

    def read(self, text: str) -> Any:
        """Value of a cell, blank or not.

        Raises
        ------
        CellError
            If it cannot be read, or is blank and required.

        Examples
        --------
        >>> COLUMNS["circuits"]["duty"].read("Intermittent").value, COLUMNS["circuits"]["duty"].read("").value
        ('intermittent', 'continuous')
        """
        if self.is_blank(text):
            if self.required:
                raise CellError(f"a value: {self.help}")
            return self.blank
        return self.parse(text)

    def is_blank(self, text: str) -> bool:
        """True where the cell takes its default. Optional text may consist of spaces."""
        return not text or ((self.required or self.parse is not read_text) and not text.strip())

    def write(self, value: Any) -> str:
        """Text of a value; blank for None."""
        return "" if value is None else self.format(value)

    def fault(self, sheet: str, row: int, text: str, error: CellError) -> CellFault:
        """The fault to report for a cell that ``read`` refused."""
        return CellFault(sheet, row, self.name, shown(text), error.expected)


def shown(text: str) -> str:
    """Text short enough to quote, in characters that can be printed.

    Examples
    --------
    >>> shown("x" * 100)[-3:]
    'xx…'
    """
    cut = text if len(text) <= limits.MAX_SHOWN_CHARACTERS else text[: limits.MAX_SHOWN_CHARACTERS] + "…"
    return cut.encode("utf-8", "replace").decode("utf-8")


def _number(name: str, help: str, parse: Callable[[str], float], field: str = "", **options: Any) -> Column:
    options = {"format": write_number, "blank": None, "is_number": True} | options
    return Column(name, field or name, help, parse, **options)


def _words(name: str, help: str, values: Any, field: str = "", **options: Any) -> Column:
    words = tuple(member.value for member in values)
    return Column(name, field or name, help, choice(values), choices=words, **options)


def _yes_no(name: str, help: str, blank: bool) -> Column:
    return Column(name, name, help, read_yes_no, write_yes_no, blank=blank, default=write_yes_no(blank), choices=YES_NO)


_CURRENT = quantity(parse_current_a, limits.MAX_CURRENT_A, unit="A")
_AMBIENT = quantity(parse_temperature_c, 250.0, least=-60.0, unit="°C")

VEHICLE_KEYS = (
    Column("description", "description", "The vehicle in your own words."),
    _number("system_v", "System voltage: 12 or 24.", read_system_v, blank=12.0, default="12", choices=("12", "24")),
    _number("battery_cca_a", "Cold cranking current of the battery, in amperes.", _CURRENT),
    _number("battery_ah", "Battery capacity, in Ah.", quantity(parse_capacity_ah, limits.MAX_CAPACITY_AH, unit="Ah")),
    _number("alternator_a", "Alternator output hot at cruise, in amperes.", _CURRENT),
    _number("alternator_idle_a", "Alternator output hot at idle, in amperes.", _CURRENT),
    _yes_no("chassis_return", "no for a body that cannot carry current (glass fibre, wood).", True),
    _number(
        "chassis_resistance_mohm",
        "Resistance between any two ground points, in milliohms.",
        quantity(parse_milliohm_ohm, limits.MAX_RESISTANCE_OHM, unit="ohm", least=0.0),
        "chassis_resistance_ohm",
        format=write_milliohm,
        blank=0.005,
        default="5",
    ),
)

ZONE_COLUMNS = (
    Column("zone", "name", "Name of a part of the vehicle with one temperature.", required=True),
    _number("ambient_c", "Hottest surroundings of the wires there, in °C.", _AMBIENT, required=True),
)

RUN_COLUMNS = (
    Column("from", "start", "Place where the stretch of loom begins.", required=True),
    Column("to", "end", "Place where it ends. A run is walked both ways.", required=True),
    _number(
        "length",
        "Length in metres, or with its unit: 6 ft, 40 cm.",
        quantity(parse_length_m, limits.MAX_LENGTH_M, unit="m"),
        "length_m",
        required=True,
    ),
    Column("zone", "zone", "Zone it passes through; the hottest if several.", blank="cabin", default="cabin"),
    _words("covering", "What covers the loom there.", Covering, blank=Covering.NONE, default="none"),
    _number(
        "opening_mm",
        "Diameter of the opening in bulkhead or body that it passes, in mm.",
        quantity(parse_diameter_mm, limits.MAX_OPENING_MM, unit="mm"),
        default="no opening",
    ),
    _yes_no("moves", "yes where it bends in use: over a door hinge, along a steering column.", False),
    Column("notes", "notes", "Anything the wireman should know."),
)

CIRCUIT_COLUMNS = (
    Column("circuit", "name", "Name, unique in this plan.", required=True),
    Column("section", "section", "Part of the vehicle; groups the quote and the work.", required=True),
    _words("disposition", "What happens to it.", Disposition, blank=Disposition.REPLACE, default="replace"),
    Column("feed", "feed", "Supply, or the name of the circuit that feeds it.", required=True, suggestions=BUSES),
    Column("fed_at", "fed_at", "Place where the protected supply starts: the panel.", required=True),
    Column("switch_at", "switch_at", "Place of the switch.", default="no switch"),
    Column("switch", "switch", "Function and positions of the switch: headlamp:low."),
    Column("relay_at", "relay_at", "Place of the relay that carries the load.", default="no relay"),
    Column("load", "load", "What it drives.", required=True),
    Column(
        "load_at",
        "load_at",
        "Place of the load; several parted by ;",
        read_places,
        write_places,
        required=True,
        blank=(),
    ),
    _number("load_a", "Current of each load, in amperes. Either this or load_w.", _CURRENT),
    _number(
        "load_w",
        "Power of each load at system voltage, in watts. Either this or load_a.",
        quantity(parse_power_w, limits.MAX_POWER_W, unit="W"),
    ),
    _words("kind", "Kind of load.", Kind, required=True, blank=None),
    _words("duty", "continuous is more than 10 minutes.", Duty, blank=Duty.CONTINUOUS, default="continuous"),
    _words("return", "How the current comes back.", Return, "return_by", blank=Return.CHASSIS, default="chassis"),
    Column("ground_at", "ground_at", "Ground point of the load.", default="at the load"),
    _number(
        "max_drop_percent",
        "Voltage drop allowed out and back, in per cent of system voltage.",
        quantity(parse_percent, 50.0, unit="%"),
        default="3 if safety, else 5",
    ),
    _yes_no("safety", "yes if losing it endangers people.", False),
    Column("colour", "colour", "IEC 60757 letters, base or base/tracer: RD/BK.", read_colour, default="chosen"),
    Column("size", "size", "Forced wire size: 14 AWG or 2.5 mm².", read_size, default="chosen"),
    _number("fuse_a", "Forced fuse rating, in amperes.", _CURRENT, default="chosen"),
    _words("fuse_family", "Family of its protection.", FuseFamily, blank=None, default="the shop's usual family"),
    Column("notes", "notes", "Anything the wireman should know."),
)

COLUMNS: Mapping[str, Mapping[str, Column]] = MappingProxyType(
    {
        sheet: MappingProxyType({column.name: column for column in columns})
        for sheet, columns in (
            ("vehicle", VEHICLE_KEYS),
            ("zones", ZONE_COLUMNS),
            ("runs", RUN_COLUMNS),
            ("circuits", CIRCUIT_COLUMNS),
        )
    }
)
"""Columns by sheet and name, in the order they are written."""

SHEETS = tuple(COLUMNS)
"""Names of the four sheets, in the order they are written."""
