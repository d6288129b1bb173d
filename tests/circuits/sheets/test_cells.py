"""Each column: what it reads, what it refuses and what it then says was expected."""

from __future__ import annotations

from typing import Any

import pytest

from circuits.plan import Covering, Disposition, Duty, FuseFamily, Kind, Return
from circuits.sheets.cells import CellError, write_places
from circuits.sheets.columns import COLUMNS

LEFT_RIGHT = ("left lamp", "right lamp")
READABLE: list[tuple[str, str, str, Any]] = [
    ("vehicle", "description", "Closed car", "Closed car"),
    ("vehicle", "system_v", "", 12.0),
    ("vehicle", "system_v", "24 V", 24.0),
    ("vehicle", "battery_cca_a", "", None),
    ("vehicle", "battery_cca_a", "480 A", 480.0),
    ("vehicle", "battery_ah", "55 Ah", 55.0),
    ("vehicle", "chassis_return", "", True),
    ("vehicle", "chassis_return", "No", False),
    ("vehicle", "chassis_return", "false", False),
    ("vehicle", "chassis_return", "1", True),
    ("vehicle", "chassis_resistance_mohm", "", 0.005),
    ("vehicle", "chassis_resistance_mohm", "0", 0.0),
    ("vehicle", "chassis_resistance_mohm", "2,5", 0.0025),
    ("zones", "ambient_c", "-40", -40.0),
    ("zones", "ambient_c", "185 °F", 85.0),
    ("runs", "length", "6 ft", 1.8288),
    ("runs", "zone", "", "cabin"),
    ("runs", "covering", "", Covering.NONE),
    ("runs", "covering", "none", Covering.NONE),
    ("runs", "covering", "SPLIT LOOM", Covering.SPLIT_LOOM),
    ("runs", "covering", "split_loom", Covering.SPLIT_LOOM),
    ("runs", "opening_mm", "1 in", 25.4),
    ("runs", "opening_mm", "", None),
    ("circuits", "disposition", "", Disposition.REPLACE),
    ("circuits", "disposition", "cap-off", Disposition.CAP_OFF),
    ("circuits", "load_at", "left lamp;right lamp", LEFT_RIGHT),
    ("circuits", "load_at", "left lamp ; right lamp ;", LEFT_RIGHT),
    ("circuits", "load_a", "380 mA", 0.38),
    ("circuits", "load_w", "55", 55.0),
    ("circuits", "kind", "LED", Kind.LED),
    ("circuits", "duty", "", Duty.CONTINUOUS),
    ("circuits", "return", "Wired", Return.WIRED),
    ("circuits", "return", "", Return.CHASSIS),
    ("circuits", "max_drop_percent", "3 %", 3.0),
    ("circuits", "max_drop_percent", "", None),
    ("circuits", "safety", "", False),
    ("circuits", "safety", "y", True),
    ("circuits", "colour", "rd/bk", "RD/BK"),
    ("circuits", "colour", "", ""),
    ("circuits", "size", "14awg", "14 AWG"),
    ("circuits", "size", "2,5 mm2", "2.5 mm²"),
    ("circuits", "fuse_a", "7.5", 7.5),
    ("circuits", "fuse_family", "", None),
    ("circuits", "fuse_family", "none", FuseFamily.NONE),
    ("circuits", "fuse_family", "bolt in", FuseFamily.BOLT_IN),
    ("circuits", "notes", "line one\nline two", "line one\nline two"),
]

UNREADABLE: list[tuple[str, str, str, str]] = [
    ("vehicle", "system_v", "6", "12 or 24"),
    ("vehicle", "system_v", "lots", "12 or 24"),
    ("vehicle", "battery_ah", "60 A", "a capacity such as 60 or 60 Ah"),
    ("vehicle", "battery_ah", "0", "a figure from above 0 to 10000 Ah"),
    ("vehicle", "chassis_return", "maybe", "yes or no"),
    ("vehicle", "chassis_resistance_mohm", "-1", "a figure from 0 to 1000 ohm"),
    ("zones", "zone", " ", "a value: Name of a part of the vehicle with one temperature."),
    ("zones", "ambient_c", "300", "a figure from -60 to 250 °C"),
    ("runs", "length", "0", "a figure from above 0 to 1000 m"),
    ("runs", "length", "-2", "a figure from above 0 to 1000 m"),
    ("runs", "length", "long", "a length such as 2.5, 40 cm or 6 ft"),
    ("runs", "covering", "brade", "one of split loom, braid, sleeve, tape, none; did you mean braid?"),
    ("runs", "opening_mm", "2 A", "a diameter such as 25, 25 mm or 1 in"),
    ("circuits", "circuit", "", "a value: Name, unique in this plan."),
    ("circuits", "circuit", "x" * 501, "at most 500 characters, not 501"),
    ("circuits", "section", "a\x00b", "text without control characters"),
    ("circuits", "section", "a\x1bb", "text without control characters"),
    ("circuits", "section", "\ud800", "text without control characters"),
    ("circuits", "load_at", ";", "places parted by ; with none left empty"),
    ("circuits", "load_at", "left;;right", "places parted by ; with none left empty"),
    ("circuits", "load_a", "5 ft", "a current such as 5 or 380 mA"),
    ("circuits", "load_a", "1e300", "a figure from above 0 to 10000 A"),
    ("circuits", "load_a", "nan", "a current such as 5 or 380 mA"),
    ("circuits", "load_w", "5 A", "a power such as 55 or 1.2 kW"),
    (
        "circuits",
        "kind",
        "lampp",
        "one of lamp, led, motor, heater, electronics, coil, sender, feeder; did you mean lamp?",
    ),
    ("circuits", "kind", "", "a value: Kind of load."),
    ("circuits", "duty", "always", "one of continuous, intermittent"),
    ("circuits", "max_drop_percent", "51", "a figure from above 0 to 50 %"),
    ("circuits", "safety", "2", "yes or no"),
    ("circuits", "size", "14", "a wire size such as 14 AWG, 1/0 AWG or 2.5 mm²"),
    ("circuits", "fuse_a", "0", "a figure from above 0 to 10000 A"),
    (
        "circuits",
        "fuse_family",
        "bladee",
        "one of blade, mini blade, maxi blade, glass, bolt-in, fusible link, none; did you mean blade?",
    ),
]


@pytest.mark.parametrize(("sheet", "name", "text", "value"), READABLE)
def test_a_column_reads(sheet: str, name: str, text: str, value: Any) -> None:
    assert COLUMNS[sheet][name].read(text) == value


@pytest.mark.parametrize(("sheet", "name", "text", "expected"), UNREADABLE)
def test_a_column_refuses_and_says_what_it_expects(sheet: str, name: str, text: str, expected: str) -> None:
    with pytest.raises(CellError) as caught:
        COLUMNS[sheet][name].read(text)
    assert caught.value.expected == expected


@pytest.mark.parametrize("text", ["RD/XX", "red/blue/green", "RD/RD", "zz"])
def test_a_colour_outside_the_standard_is_refused(text: str) -> None:
    with pytest.raises(CellError, match="expected"):
        COLUMNS["circuits"]["colour"].read(text)


@pytest.mark.parametrize("sheet", COLUMNS)
def test_every_column_explains_itself(sheet: str) -> None:
    for column in COLUMNS[sheet].values():
        assert column.help.endswith((".", ";"))
        assert len(column.help) <= 100
        assert column.required or column.read("") == column.blank


@pytest.mark.parametrize("sheet", COLUMNS)
def test_every_choice_and_suggestion_is_read(sheet: str) -> None:
    for column in COLUMNS[sheet].values():
        for word in (*column.choices, *column.suggestions):
            assert column.write(column.read(word)) == word


@pytest.mark.parametrize("sheet", COLUMNS)
def test_the_default_in_words_is_the_default_read(sheet: str) -> None:
    """Where the words are a value the column takes, they must be the value a blank cell takes."""
    for column in COLUMNS[sheet].values():
        if column.default in column.choices or column.default.isdigit():
            assert column.read(column.default) == column.read("")


def test_the_columns_are_those_of_the_sheet_as_agreed() -> None:
    """A sheet written today must read the same in every later release: names may be added, none renamed."""
    agreed = {
        "vehicle": "description system_v battery_cca_a battery_ah alternator_a alternator_idle_a chassis_return "
        "chassis_resistance_mohm",
        "zones": "zone ambient_c",
        "runs": "from to length zone covering opening_mm notes",
        "circuits": "circuit section disposition feed fed_at switch_at switch relay_at load load_at load_a load_w kind "
        "duty return ground_at max_drop_percent safety colour size fuse_a fuse_family notes",
    }
    for sheet, names in agreed.items():
        assert set(names.split()) <= set(COLUMNS[sheet])


@pytest.mark.parametrize("places", [("a;b", "c"), ("a\\", "b"), ("\\;", ";\\"), (" a ", "\ta"), ("a\\;b", "\\\\")])
def test_a_place_with_a_semicolon_stays_one_place(places: tuple[str, ...]) -> None:
    assert COLUMNS["circuits"]["load_at"].read(write_places(places)) == places
