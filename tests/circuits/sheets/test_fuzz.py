"""Whatever the bytes: a sheet is read or refused with a fault, and nothing else happens."""

from __future__ import annotations

import io
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.errors import UnreadableError
from circuits.plan import Plan
from circuits.sheets import load_starter, parse_block, read_sheet, write_csv_zip, write_json, write_xlsx
from circuits.sheets.columns import COLUMNS
from tests.circuits.sheets.sheets_of import csv_zip, rezipped

PLAN = load_starter("closed_car")
REAL = {"plan.xlsx": write_xlsx(PLAN), "plan.zip": write_csv_zip(PLAN), "plan.json": write_json(PLAN)}


def read_or_refuse(name: str, data: bytes) -> Plan | None:
    """Any error but ours fails the test."""
    try:
        return read_sheet((name, data))
    except UnreadableError as error:
        if not error.faults:
            raise AssertionError("refused without saying why") from error
        return None


@pytest.mark.parametrize("name", ["plan.xlsx", "plan.zip", "plan.json", "plan.csv"])
@given(data=st.binary(max_size=200))
def test_random_bytes_are_refused(name: str, data: bytes) -> None:
    read_or_refuse(name, data)


@pytest.mark.parametrize("name", REAL)
@given(cut=st.floats(0, 1, exclude_max=True))
def test_files_cut_short_are_refused(name: str, cut: float) -> None:
    assert read_or_refuse(name, REAL[name][: int(cut * len(REAL[name].rstrip()))]) is None


@pytest.mark.parametrize("name", REAL)
@given(data=st.data())
def test_files_with_bytes_changed_are_read_or_refused(name: str, data: st.DataObject) -> None:
    changed = bytearray(REAL[name])
    for at in data.draw(st.lists(st.integers(0, len(changed) - 1), min_size=1, max_size=8)):
        changed[at] = data.draw(st.integers(0, 255))
    read_or_refuse(name, bytes(changed))


SMALL = write_xlsx(Plan(PLAN.vehicle, PLAN.zones[:2], PLAN.runs[:2], PLAN.circuits[:2]))


@given(data=st.data())
def test_workbooks_with_parts_changed_inside_are_read_or_refused(data: st.DataObject) -> None:
    """The zip is sound; what is in it is not."""
    parts = zipfile.ZipFile(io.BytesIO(SMALL)).namelist()
    victim = data.draw(st.sampled_from(parts))

    def changed(name: str, content: bytes) -> bytes:
        if name != victim:
            return content
        broken = bytearray(content)
        for at in data.draw(st.lists(st.integers(0, len(broken) - 1), min_size=1, max_size=6)):
            broken[at] = data.draw(st.integers(0, 255))
        return bytes(broken)

    read_or_refuse("plan.xlsx", rezipped(SMALL, changed))


@given(text=st.text(max_size=200))
def test_any_pasted_text_is_taken_or_named(text: str) -> None:
    block = parse_block(text, ["circuit", "section", "load_a"])
    assert all(set(row) <= set(COLUMNS["circuits"]) for row in block.rows)
    assert len(block.rows) <= text.count("\n") + text.count("\r") + 1


@given(texts=st.lists(st.text(max_size=30), max_size=4))
def test_any_csv_text_is_read_or_refused(texts: list[str]) -> None:
    names = ("circuits.csv", "runs.csv", "zones.csv", "vehicle.csv")
    read_or_refuse(*csv_zip({name: text.encode("utf-8", "replace") for name, text in zip(names, texts, strict=False)}))
