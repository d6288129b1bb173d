"""Columns of the optional sheets: connectors and their cavities, parts to mount, positions of fuse panels."""

from __future__ import annotations

from circuits.fittings import Half, Holds
from circuits.plan import BUSES, FuseFamily
from circuits.sheets import limits
from circuits.sheets.areas import read_area, write_area
from circuits.sheets.cells import CellError, choice, quantity, read_colour, read_places, read_text, write_places
from circuits.sheets.column import Column, number, words, yes_no
from circuits.units import parse_current_a, parse_diameter_mm

_CURRENT = quantity(parse_current_a, limits.MAX_CURRENT_A, unit="A")
_FAMILIES = tuple(family.value for family in FuseFamily if family is not FuseFamily.NONE)
_family = choice(FuseFamily)


def _area(name: str, help: str, field: str) -> Column:
    return Column(name, field, help, read_area, write_area, blank=None, default="not known")


def read_ways(text: str) -> int:
    """Number of cavities of a body.

    Examples
    --------
    >>> read_ways("12")
    12
    """
    if not text.strip().isdecimal() or not 1 <= int(text) <= limits.MAX_WAYS:
        raise CellError(f"a whole number from 1 to {limits.MAX_WAYS}")
    return int(text)


def read_bus(text: str) -> str:
    """Name of a bus; those of the circuit sheet whatever their case.

    Examples
    --------
    >>> read_bus("Battery"), read_bus("heated seats")
    ('battery', 'heated seats')
    """
    name = text.strip().casefold()
    return name if name in BUSES else read_text(text)


def read_family(text: str) -> str:
    """A fuse family that sits in a position."""
    family = _family(text)
    if family is FuseFamily.NONE:
        raise CellError(f"one of {', '.join(_FAMILIES)}")
    return family.value


CONNECTOR_COLUMNS = (
    Column("connector", "name", "Name as tagged, unique in this plan: C1.", required=True),
    Column("place", "place", "Place of the loom where it is.", required=True),
    Column("series", "series", "Family of bodies that mate with each other.", default="not known"),
    words(
        "half", "By its contacts; leads for a unit that brings bare leads.", Half, blank=Half.SOCKET, default="socket"
    ),
    number("ways", "Cavities of the body.", read_ways, default="as many as are listed", format=str),
    Column("keying", "keying", "Letter or colour of the key that lets only its own half in.", default="none"),
    Column("mates_with", "mates_with", "Connector it belongs to.", default="part of a device"),
    number(
        "body_mm",
        "Smallest opening the body passes, in mm.",
        quantity(parse_diameter_mm, limits.MAX_OPENING_MM, unit="mm"),
        default="not known",
    ),
    _area("wire_min", "Thinnest wire its contacts take: 22 AWG or 0.35 mm².", "min_area_mm2"),
    _area("wire_max", "Thickest wire its contacts take: 16 AWG or 1.5 mm².", "max_area_mm2"),
    number("contact_a", "Rating of one contact, in amperes.", _CURRENT, default="not known"),
    yes_no("in_loom", "yes where it joins two parts of the loom: the wires listed in it are cut there.", False),
    Column("notes", "notes", "Anything the wireman should know. Counted where named: moulded on, sealed, tagged."),
)

CAVITY_COLUMNS = (
    Column("connector", "connector", "Connector, or unit with leads, that it is part of.", required=True),
    Column("cavity", "label", "As marked on the body: 1, B4; of a lead its function.", required=True),
    Column("circuit", "circuit", "Circuit whose conductor it holds.", default="not used"),
    words("holds", "Which conductor of the circuit; numbers are relay terminals.", Holds, blank=Holds.IN, default="in"),
    Column("colour", "colour", "Colour of a unit's own lead, IEC 60757 letters.", read_colour, default="the loom's"),
    Column("notes", "notes", "Why a lead goes nowhere, and the like."),
)

MOUNTING_COLUMNS = (
    Column("part", "part", "Part that is mounted during the work, unique in this plan.", required=True),
    Column("place", "place", "Place of the loom where it goes.", default="no place of the loom"),
    Column(
        "hides",
        "hides",
        "Places, connectors or other parts that cannot be reached behind it; several parted by ;",
        read_places,
        write_places,
        blank=(),
        default="nothing",
        is_list=True,
    ),
    yes_no("wired_first", "yes where its own wires go on at the bench, before it is mounted.", False),
    Column("notes", "notes", "Anything the wireman should know."),
)

POSITION_COLUMNS = (
    Column("panel", "panel", "Place of the panel, as circuits name it in fed_at.", required=True),
    Column("position", "label", "As marked on the panel, unique in it.", required=True),
    Column("bus", "bus", "Supply that feeds it.", read_bus, required=True, suggestions=BUSES),
    Column("family", "family", "Fuse family it takes.", read_family, default="any", choices=_FAMILIES),
    number("max_a", "Greatest rating it takes, in amperes.", _CURRENT, default="not known"),
    Column("circuit", "circuit", "Circuit that must sit there.", default="chosen"),
)
