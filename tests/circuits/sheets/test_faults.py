"""Everything unreadable is reported at once, each fault at its place."""

from __future__ import annotations

import io
from datetime import date
from time import perf_counter
from typing import Any

import pytest
from openpyxl import Workbook

from circuits.errors import UnreadableError
from circuits.plan import Kind
from circuits.sheets import read_sheet
from circuits.sheets.limits import MAX_CIRCUITS
from tests.circuits.sheets.sheets_of import CIRCUIT, CIRCUITS_CSV, circuit_json, csv_zip, faults_of, read_json, workbook

HEADER: list[Any] = list(CIRCUIT)
HORN: list[Any] = list(CIRCUIT.values())


def lines(source: tuple[str, bytes]) -> list[str]:
    return [str(fault) for fault in faults_of(source)]


def json_lines(data: bytes) -> list[str]:
    return lines(("plan.json", data))


def test_every_fault_is_reported_at_once_in_order_of_sheet_and_row() -> None:
    source = csv_zip(
        {
            "circuits.csv": "circuit,section,feed,fed_at,load,load_at,load_a,kind,colur\n"
            "horn,front,battery,panel,horn,left wing,5 ft,motor,\n"
            "\n"
            "tail,,lighting,panel,tail lamp,rear,,lampp,\n",
            "runs.csv": "from,to,length\npanel,,2\npanel,panel,2\n",
            "zones.csv": "zone,ambient_c\ncabin,warm\n",
            "vehicle.csv": "key,value\nsystem_v,6\ncolour,red\n",
        }
    )
    assert lines(source) == [
        "vehicle, row 2, system_v: found '6', expected 12 or 24",
        "vehicle, row 3, key: found 'colour', expected one of description, system_v, battery_cca_a, battery_ah, "
        "alternator_a, alternator_idle_a, chassis_return, chassis_resistance_mohm",
        "zones, row 2, ambient_c: found 'warm', expected a temperature such as 40, 85 °C or 104 °F",
        "runs, row 2, to: found '', expected a value: Place where it ends. A run is walked both ways.",
        "runs, row 3: found 'this row', expected run panel: a run must lead to another place",
        "circuits, row 1, colur: found 'colur', expected a known column; did you mean colour?",
        "circuits, row 2, load_a: found '5 ft', expected a current such as 5 or 380 mA",
        "circuits, row 4, section: found '', expected a value: Part of the vehicle; groups the quote and the work.",
        "circuits, row 4, kind: found 'lampp', expected one of lamp, led, motor, heater, electronics, coil, sender, "
        "feeder; did you mean lamp?",
        "circuits, row 4, load_a: found '', expected load_a or load_w, one of the two",
    ]


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({"load_w": 60}, ["circuits, row 2, load_a: found '5 and 60', expected load_a or load_w, not both"]),
        ({"load_a": None}, ["circuits, row 2, load_a: found '', expected load_a or load_w, one of the two"]),
        ({"load_a": None, "load_w": 60}, []),
        (
            {"feed": None},
            ["circuits, row 2, feed: found '', expected a value: Supply, or the name of the circuit that feeds it."],
        ),
        ({"load_a": True}, ["circuits, row 2, load_a: found 'yes', expected a current such as 5 or 380 mA"]),
        ({"load_a": [5]}, ["circuits, row 2, load_a: found 'a list', expected a text, a number, true, false or null"]),
        (
            {"notes": {"a": 1}},
            ["circuits, row 2, notes: found 'an object', expected a text, a number, true, false or null"],
        ),
        ({"safety": True, "notes": 12, "load_at": ["left wing", "right wing"]}, []),
    ],
)
def test_one_circuit(cells: dict[str, Any], expected: list[str]) -> None:
    assert json_lines(circuit_json(**cells)) == expected


def test_a_name_used_twice_is_named_with_the_row_that_has_it() -> None:
    zones: list[list[Any]] = [["zone", "ambient_c"], ["a", 1], ["a", 2]]
    assert lines(workbook({"circuits": [HEADER, HORN, HORN], "zones": zones})) == [
        "zones, row 3, zone: found 'a', expected a name not used before; row 2 has it",
        "circuits, row 3, circuit: found 'horn', expected a name not used before; row 2 has it",
    ]


def test_a_vehicle_key_given_twice_is_named() -> None:
    rows: list[list[Any]] = [["key", "value"], ["system_v", 12], ["System_V", 24]]
    assert lines(workbook({"vehicle": rows, "circuits": [HEADER]})) == [
        "vehicle, row 3, key: found 'system_v', expected each key once; row 2 has it"
    ]


def test_unknown_and_repeated_columns_are_named() -> None:
    header = [*HEADER, "Kind", "volts"]
    assert lines(workbook({"circuits": [header, [*HORN, "lamp", "12"]]})) == [
        "circuits, row 1, kind: found 'Kind', expected each column once",
        "circuits, row 1, volts: found 'volts', expected a known column",
    ]


def test_a_cell_without_a_header_is_named() -> None:
    assert lines(workbook({"circuits": [HEADER, [*HORN, None, "stray"]]})) == [
        "circuits, row 2: found 'stray', expected nothing here: the column has no header"
    ]


def test_unknown_sheets_are_named_and_empty_ones_passed_over() -> None:
    sheets: dict[str, list[list[Any]]] = {"circuits": [HEADER, HORN], "Sheet1": [], "circuit": [["x"]]}
    assert lines(workbook(sheets)) == [
        "circuit: found 'circuit', expected a sheet named vehicle, zones, runs, circuits, "
        "connectors, cavities, mountings, positions; did you mean circuits?"
    ]


@pytest.mark.parametrize(
    ("source", "name"),
    [(("plan.json", b'{"zones": []}'), "plan.json"), (csv_zip({"zones.csv": "zone,ambient_c\n"}), "plan.zip")],
)
def test_a_file_without_circuits_is_refused(source: tuple[str, bytes], name: str) -> None:
    assert lines(source) == [f"circuits: found 'no such sheet', expected a sheet named circuits in {name}"]


def test_header_case_order_and_blank_rows_do_not_matter() -> None:
    rows = [[], [name.upper() for name in reversed(HEADER)], [], list(reversed(HORN)), []]
    plan = read_sheet(workbook({"Circuits": rows}))
    assert [(circuit.name, circuit.load_a, circuit.kind) for circuit in plan.circuits] == [("horn", 5.0, Kind.MOTOR)]


def test_a_row_is_counted_as_a_spreadsheet_counts_it() -> None:
    header = "circuit,section,feed,fed_at,load,load_at,load_a,kind,notes\n"
    text = header + 'a,s,battery,p,l,q,1,lamp,"two\nlines"\n\nb,s,battery,p,l,q,x,lamp,\n'
    assert [fault.row for fault in faults_of(csv_zip({"circuits.csv": text}))] == [4]


def test_json_repeated_keys_are_named() -> None:
    data = circuit_json()[:-3] + b', "kind": "lamp", "KIND": "led"}], "circuits": [], "Circuits": []}'
    assert set(json_lines(data)) >= {
        "plan.json: found 'circuits', expected each list once",
        "circuits: found 'Circuits', expected each list once",
    }
    data = b'{"circuits": [{"circuit": "a", "circuit": "b", "Circuit": "c"}]}'
    assert json_lines(data)[:2] == [
        "circuits, row 2, circuit: found 'circuit', expected each column once",
        "circuits, row 2, circuit: found 'Circuit', expected each column once",
    ]


def test_an_unknown_key_of_many_rows_is_named_once() -> None:
    rows = [CIRCUIT | {"circuit": f"c{number}", "colur": "RD"} for number in range(9)]
    with pytest.raises(UnreadableError) as caught:
        read_json({"circuits": rows})
    assert [str(fault) for fault in caught.value.faults] == [
        "circuits, row 2, colur: found 'colur', expected a known column; did you mean colour?"
    ]


def test_a_bus_in_other_letters_is_the_bus_unless_a_circuit_is_called_so() -> None:
    assert read_json(circuit_json(feed="Battery ")).circuits[0].feed == "battery"
    rows = [CIRCUIT | {"circuit": "Battery"}, CIRCUIT | {"feed": "Battery"}]
    assert read_json({"circuits": rows}).circuits[1].feed == "Battery"


def test_absent_sheets_take_the_defaults() -> None:
    plan = read_sheet(csv_zip({"circuits.csv": CIRCUITS_CSV}))
    assert (plan.zones, plan.runs) == ((), ())
    assert plan.zone_ambient_c("engine bay") == 85.0
    assert (plan.vehicle.system_v, plan.vehicle.chassis_resistance_ohm) == (12.0, 0.005)


def test_a_value_found_is_quoted_in_part_if_long() -> None:
    faults = faults_of(("plan.json", circuit_json(kind="x" * 400)))
    assert len(faults[0].value) == 81


def test_a_cell_turned_into_a_date_is_named_once() -> None:
    """Spreadsheet programs make a date of a name such as 1-2."""
    rows: list[list[Any]] = [HEADER, [date(2026, 2, 1), *HORN[1:]], [*HORN[:6], date(2026, 5, 1), *HORN[7:]]]
    assert lines(workbook({"circuits": rows})) == [
        "circuits, row 2, A: found '2026-02-01 00:00:00', "
        "expected text or a figure, not a date: format the cell as text and type it again",
        "circuits, row 3, G: found '2026-05-01 00:00:00', "
        "expected text or a figure, not a date: format the cell as text and type it again",
    ]


def test_a_percentage_typed_as_one_is_read_as_one() -> None:
    """Spreadsheet programs store 7 % as 0.07 and show it as 7 %."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "circuits"
    sheet.append([*HEADER, "max_drop_percent"])
    sheet.append([*HORN, 0.07])
    sheet.cell(2, len(HEADER) + 1).number_format = "0%"
    file = io.BytesIO()
    book.save(file)
    assert read_sheet(("plan.xlsx", file.getvalue())).circuits[0].max_drop_percent == 7.0


def test_a_workbook_of_as_many_circuits_as_allowed_is_read_whole() -> None:
    rows = [[f"horn {number}", *HORN[1:]] for number in range(MAX_CIRCUITS)]
    source = workbook({"circuits": [HEADER, *rows]})
    start = perf_counter()
    assert len(read_sheet(source).circuits) == MAX_CIRCUITS
    print(f"{MAX_CIRCUITS} circuits read in {perf_counter() - start:.2f} s")
