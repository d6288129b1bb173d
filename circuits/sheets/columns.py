"""Every column of the circuit sheet, described once: editor, templates, readers and writers ask here."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from circuits.plan import BUSES, Covering, Disposition, Duty, FuseFamily, Kind, Return
from circuits.sheets import limits
from circuits.sheets.cells import (
    quantity,
    read_colour,
    read_places,
    read_size,
    read_system_v,
    write_milliohm,
    write_places,
)
from circuits.sheets.column import Column as Column
from circuits.sheets.column import number, words, yes_no
from circuits.sheets.column import shown as shown
from circuits.sheets.fitting_columns import (
    CAVITY_COLUMNS,
    CONNECTOR_COLUMNS,
    MOUNTING_COLUMNS,
    POSITION_COLUMNS,
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

_CURRENT = quantity(parse_current_a, limits.MAX_CURRENT_A, unit="A")
_AMBIENT = quantity(parse_temperature_c, 250.0, least=-60.0, unit="°C")

VEHICLE_KEYS = (
    Column("description", "description", "The vehicle in your own words."),
    number("system_v", "System voltage: 12 or 24.", read_system_v, blank=12.0, default="12", choices=("12", "24")),
    number("battery_cca_a", "Cold cranking current of the battery, in amperes.", _CURRENT),
    number("battery_ah", "Battery capacity, in Ah.", quantity(parse_capacity_ah, limits.MAX_CAPACITY_AH, unit="Ah")),
    number("alternator_a", "Alternator output hot at cruise, in amperes.", _CURRENT),
    number("alternator_idle_a", "Alternator output hot at idle, in amperes.", _CURRENT),
    yes_no("chassis_return", "no for a body that cannot carry current (glass fibre, wood).", True),
    number(
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
    number("ambient_c", "Hottest surroundings of the wires there, in °C.", _AMBIENT, required=True),
)

RUN_COLUMNS = (
    Column("from", "start", "Place where the stretch of loom begins.", required=True),
    Column("to", "end", "Place where it ends. A run is walked both ways.", required=True),
    number(
        "length",
        "Length in metres, or with its unit: 6 ft, 40 cm.",
        quantity(parse_length_m, limits.MAX_LENGTH_M, unit="m"),
        "length_m",
        required=True,
    ),
    Column("zone", "zone", "Zone it passes through; the hottest if several.", blank="cabin", default="cabin"),
    words("covering", "What covers the loom there.", Covering, blank=Covering.NONE, default="none"),
    number(
        "opening_mm",
        "Diameter of the opening in bulkhead or body that it passes, in mm.",
        quantity(parse_diameter_mm, limits.MAX_OPENING_MM, unit="mm"),
        default="no opening",
    ),
    yes_no("moves", "yes where it bends in use: over a door hinge, along a steering column.", False),
    Column("notes", "notes", "Anything the wireman should know."),
)

CIRCUIT_COLUMNS = (
    Column("circuit", "name", "Name, unique in this plan.", required=True),
    Column("section", "section", "Part of the vehicle; groups the quote and the work.", required=True),
    words("disposition", "What happens to it.", Disposition, blank=Disposition.REPLACE, default="replace"),
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
        is_list=True,
    ),
    number("load_a", "Current of each load, in amperes. Either this or load_w.", _CURRENT),
    number(
        "load_w",
        "Power of each load at system voltage, in watts. Either this or load_a.",
        quantity(parse_power_w, limits.MAX_POWER_W, unit="W"),
    ),
    words("kind", "Kind of load.", Kind, required=True, blank=None),
    words("duty", "continuous is more than 10 minutes.", Duty, blank=Duty.CONTINUOUS, default="continuous"),
    words("return", "How the current comes back.", Return, "return_by", blank=Return.CHASSIS, default="chassis"),
    Column("ground_at", "ground_at", "Ground point of the load.", default="at the load"),
    number(
        "max_drop_percent",
        "Voltage drop allowed out and back, in per cent of system voltage.",
        quantity(parse_percent, 50.0, unit="%"),
        default="3 if safety, else 5",
    ),
    yes_no("safety", "yes if losing it endangers people.", False),
    Column("colour", "colour", "IEC 60757 letters, base or base/tracer: RD/BK.", read_colour, default="chosen"),
    Column("size", "size", "Forced wire size: 14 AWG or 2.5 mm².", read_size, default="chosen"),
    number("fuse_a", "Forced fuse rating, in amperes.", _CURRENT, default="chosen"),
    words("fuse_family", "Family of its protection.", FuseFamily, blank=None, default="the shop's usual family"),
    number("switch_a", "Resistive rating of its switch, in amperes.", _CURRENT, default="the shop's usual switch"),
    number("relay_a", "Resistive rating of its relay's contact, in amperes.", _CURRENT, default="chosen"),
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
            ("connectors", CONNECTOR_COLUMNS),
            ("cavities", CAVITY_COLUMNS),
            ("mountings", MOUNTING_COLUMNS),
            ("positions", POSITION_COLUMNS),
        )
    }
)
"""Columns by sheet and name, in the order they are written."""

SHEETS = tuple(COLUMNS)
"""Names of the sheets, in the order they are written."""

OPTIONAL_SHEETS = ("connectors", "cavities", "mountings", "positions")
"""Sheets that a plan without fittings does without: written where they have rows."""
