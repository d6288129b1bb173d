"""Texts that a spreadsheet program would run are harmless in every file we write."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from circuits.plan import Plan, Vehicle, Zone
from circuits.sheets import load_starter, write_csv_zip, write_json, write_template_xlsx, write_xlsx
from circuits.sheets.columns import COLUMNS
from circuits.sheets.neutral import guarded, is_risky, unguarded
from circuits.sheets.tables import header_names
from tests.circuits.strategies import HARMFUL, plans

EMPTY = Plan(Vehicle(), (), (), ())


def csv_cells(data: bytes) -> list[list[str]]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        texts = [archive.read(name).decode("utf-8-sig") for name in archive.namelist()]
    return [row for text in texts for row in csv.reader(io.StringIO(text, newline=""))]


@given(st.text())
def test_guarding_loses_nothing(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert not is_risky(guarded(text))


@given(plan=plans())
def test_no_text_cell_of_a_csv_can_run(plan: Plan) -> None:
    """A minus sign before digits alone is a number, which runs nothing."""
    for row in csv_cells(write_csv_zip(plan)):
        for cell in row:
            assert not is_risky(cell) or re.fullmatch(r"-[0-9.]+(E[+-]?[0-9]+)?", cell)


@pytest.mark.parametrize("text", HARMFUL)
def test_no_cell_of_a_workbook_is_a_formula(text: str) -> None:
    circuit = replace(load_starter("closed_car").circuits[0], name=text, notes=text, switch=text)
    plan = Plan(Vehicle(description=text), (Zone(text, -5.0),), (), (circuit,))
    book = load_workbook(io.BytesIO(write_xlsx(plan)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"s", "n"}
    assert all(cell.quotePrefix for cell in cells if isinstance(cell.value, str) and is_risky(cell.value))


def test_a_csv_opens_as_utf8_in_a_spreadsheet() -> None:
    with zipfile.ZipFile(io.BytesIO(write_csv_zip(EMPTY))) as archive:
        assert sorted(archive.namelist()) == ["circuits.csv", "runs.csv", "vehicle.csv", "zones.csv"]
        assert all(archive.read(name).startswith(b"\xef\xbb\xbf") for name in archive.namelist())


def test_json_holds_numbers_as_numbers() -> None:
    text = write_json(Plan(Vehicle(system_v=24.0, battery_cca_a=480.5), (), (), ())).decode()
    assert '{"key": "system_v", "value": 24}' in text
    assert '{"key": "battery_cca_a", "value": 480.5}' in text


def test_a_workbook_holds_numbers_as_numbers() -> None:
    book = load_workbook(io.BytesIO(write_xlsx(Plan(Vehicle(), (Zone("cabin", 40.0),), (), ()))))
    assert book["zones"]["B2"].value == 40


class TestTemplate:
    book = load_workbook(io.BytesIO(write_template_xlsx()))

    def test_it_has_the_four_sheets_with_their_headers(self) -> None:
        assert self.book.sheetnames == list(COLUMNS)
        for name in COLUMNS:
            assert tuple(cell.value for cell in self.book[name][1]) == header_names(name)

    @pytest.mark.parametrize("name", ["zones", "runs", "circuits"])
    def test_every_header_carries_its_help(self, name: str) -> None:
        for cell in self.book[name][1]:
            assert cell.comment is not None
            assert COLUMNS[name][str(cell.value)].help in cell.comment.text

    def test_every_vehicle_key_carries_its_help(self) -> None:
        keys = [cell for (cell,) in self.book["vehicle"].iter_rows(min_row=2, max_col=1)]
        assert [cell.value for cell in keys] == list(COLUMNS["vehicle"])
        for cell in keys:
            assert cell.comment is not None
            assert COLUMNS["vehicle"][str(cell.value)].help in cell.comment.text

    @pytest.mark.parametrize("name", COLUMNS)
    def test_every_column_of_fixed_words_offers_them(self, name: str) -> None:
        listed = {validation.formula1 for validation in self.book[name].data_validations.dataValidation}
        for column in COLUMNS[name].values():
            words = column.choices or column.suggestions
            assert not words or f'"{",".join(words)}"' in listed
