"""The optional sheets: read like the others, every fault at its place, absent or empty alike."""

from __future__ import annotations

import math

import pytest

from circuits.fittings import Cavity, Connector, Half, Holds, Mounting, PanelPosition
from circuits.sheets import parse_block, read_sheet, write_csv_zip, write_json, write_template_xlsx, write_xlsx
from circuits.sheets.areas import read_area
from circuits.sheets.columns import COLUMNS, OPTIONAL_SHEETS
from tests.circuits.sheets.sheets_of import CIRCUIT, CIRCUITS_CSV, csv_zip, faults_of, read_json, workbook

HORN = {"circuits": [CIRCUIT]}


def test_every_column_of_the_optional_sheets_is_read() -> None:
    plan = read_json(
        HORN
        | {
            "connectors": [
                {
                    "connector": "C1", "place": "nose", "series": "round", "half": "Pin", "ways": 4, "keying": "B",
                    "mates_with": "C2", "body_mm": "1 in", "wire_min": "22 AWG", "wire_max": "2.5 mm2",
                    "contact_a": "15 A", "in_loom": True, "notes": "tagged",
                }
            ],
            "cavities": [
                {"connector": "C1", "cavity": 1, "circuit": "horn", "holds": 87, "colour": "rd/bk", "notes": "x"}
            ],
            "mountings": [{"part": "dash top", "place": "dash", "hides": ["C1", "a;b"], "wired_first": "yes"}],
            "positions": [
                {"panel": "panel", "position": 3, "bus": "Battery", "family": "Mini-Blade", "max_a": 30,
                 "circuit": "horn"}
            ],
        }
    )  # fmt: skip
    assert plan.connectors == (
        Connector("C1", "nose", "round", Half.PIN, 4, "B", "C2", 25.4, 0.3255, 2.5, 15.0, True, "tagged"),
    )
    assert plan.cavities == (Cavity("C1", "1", "horn", Holds.T87, "RD/BK", "x"),)
    assert plan.mountings == (Mounting("dash top", "dash", ("C1", "a;b"), True),)
    assert plan.positions == (PanelPosition("panel", "3", "battery", "mini blade", 30.0, "horn"),)


def test_every_fault_is_told_with_its_sheet_row_and_column() -> None:
    source = csv_zip(
        {
            "circuits.csv": CIRCUITS_CSV,
            "connectors.csv": "connector,place,half,ways,wire_min,wire_max\nC1,,plug,0,14,\nC1,nose,,,2.5 mm2,20 AWG\n",
            "cavities.csv": "connector,cavity,holds\nC1,1,sideways\nC1,1,in\nC2,1,in\n",
            "mountings.csv": "part,hides\ndash top,dash top\n",
            "positions.csv": "panel,position,bus,family\npanel,1,,none\n",
        }
    )
    told = [(fault.sheet, fault.row, fault.column) for fault in faults_of(source)]
    assert told == [
        ("connectors", 2, "place"), ("connectors", 2, "half"), ("connectors", 2, "ways"), ("connectors", 2, "wire_min"),
        ("connectors", 3, "connector"), ("connectors", 3, ""),
        ("cavities", 2, "holds"), ("cavities", 3, "cavity"),
        ("mountings", 2, ""),
        ("positions", 2, "bus"), ("positions", 2, "family"),
    ]  # fmt: skip
    words = {(fault.sheet, fault.row, fault.column): fault.expected for fault in faults_of(source)}
    assert words["cavities", 3, "cavity"] == "a name not used before for connector C1; row 2 has it"
    assert words["connectors", 2, "wire_min"].startswith("a wire size such as 14 AWG")


def test_a_sheet_without_the_optional_ones_reads_and_writes_as_ever() -> None:
    plan = read_json(HORN)
    assert not any(getattr(plan, sheet) for sheet in OPTIONAL_SHEETS)
    assert not any(sheet.encode() in write_json(plan) for sheet in OPTIONAL_SHEETS)
    for name, data in (("p.xlsx", write_xlsx(plan)), ("p.zip", write_csv_zip(plan)), ("p.json", write_json(plan))):
        assert read_sheet((name, data)) == plan
    headers = {sheet: [list(COLUMNS[sheet])] for sheet in OPTIONAL_SHEETS}
    assert read_sheet(workbook({"circuits": [list(CIRCUIT), list(CIRCUIT.values())], **headers})) == plan


def test_the_empty_workbook_offers_the_optional_sheets_and_reads_as_a_plan_without_any() -> None:
    assert not read_sheet(("t.xlsx", write_template_xlsx())).connectors


def test_a_block_is_pasted_into_cavities_and_its_faults_told() -> None:
    block = parse_block("C1\t4\thorn\treturn\nC1\t5\thorn\tround", list(COLUMNS["cavities"]), "cavities")
    assert block.rows[0] == {"connector": "C1", "cavity": "4", "circuit": "horn", "holds": "return"}
    assert [(fault.row, fault.column) for fault in block.faults] == [(2, "holds")]


@pytest.mark.parametrize(
    ("gauge", "area_mm2"),
    [("14 AWG", 2.0809), ("22 AWG", 0.3255), ("1/0 AWG", 53.475), ("26 AWG", 0.1288), ("40 AWG", 0.005)],
)
def test_gauges_stand_for_the_area_of_their_nominal_diameter(gauge: str, area_mm2: float) -> None:
    """ASTM B258: 0.127 mm × 92^((36 − n) / 39); areas as printed in wire tables, from memory."""
    assert math.isclose(read_area(gauge), area_mm2, rel_tol=3e-3)
