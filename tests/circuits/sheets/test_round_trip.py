"""What is written reads back to the same plan, in every format."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given

from circuits.plan import Plan
from circuits.sheets import (
    STARTERS,
    load_starter,
    read_sheet,
    write_csv_folder,
    write_csv_zip,
    write_json,
    write_xlsx,
)
from circuits.sheets.columns import OPTIONAL_SHEETS
from tests.circuits.strategies import plans

FORMATS: dict[str, Callable[[Plan], bytes]] = {
    "plan.xlsx": write_xlsx,
    "plan.zip": write_csv_zip,
    "plan.json": write_json,
}


@pytest.mark.parametrize("name", FORMATS)
@given(plan=plans())
def test_any_plan_reads_back_as_written(name: str, plan: Plan) -> None:
    assert read_sheet((name, FORMATS[name](plan))) == plan


@pytest.mark.parametrize("key", STARTERS)
@pytest.mark.parametrize("name", FORMATS)
def test_starters_read_back_as_written(name: str, key: str) -> None:
    plan = load_starter(key)
    assert read_sheet((name, FORMATS[name](plan))) == plan


def test_a_folder_reads_back_as_written(tmp_path: Path) -> None:
    plan = load_starter("closed_car")
    write_csv_folder(plan, tmp_path / "car")
    assert read_sheet(tmp_path / "car") == plan


def test_a_file_on_disk_reads_as_its_bytes_do(tmp_path: Path) -> None:
    plan = load_starter("closed_car")
    path = tmp_path / "car.xlsx"
    path.write_bytes(write_xlsx(plan))
    assert read_sheet(path) == plan


@pytest.mark.parametrize("write", [write_csv_zip, write_json])
def test_the_same_plan_gives_the_same_bytes(write: Callable[[Plan], bytes]) -> None:
    plan = load_starter("closed_car")
    assert write(plan) == write(plan)


@given(plan=plans())
def test_json_is_lists_of_objects_and_optional_ones_only_with_rows(plan: Plan) -> None:
    top = json.loads(write_json(plan))
    assert list(top)[:4] == ["vehicle", "zones", "runs", "circuits"]
    assert list(top)[4:] == [sheet for sheet in OPTIONAL_SHEETS if getattr(plan, sheet)]
    assert all(isinstance(item, dict) for rows in top.values() for item in rows)
    assert len(top["circuits"]) == len(plan.circuits)
