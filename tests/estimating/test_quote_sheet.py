"""From a sheet to a quote on the command line: what is written, what is said, how it ends, without a database."""

import io
import json
import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from circuits.cautions import cautions
from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
from circuits.sheets import load_starter, write_csv_zip, write_json, write_xlsx
from estimating.pricing.price_book_csv import example_price_book, write_price_book

ROOT = Path(__file__).parents[2]

RUNS = (Run("panel", "grille", 2.0, "engine bay"), Run("panel", "rear", 3.0))
HORN = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
TAIL = Circuit("tail lamps", "rear", "lighting", "panel", "tail lamp", ("rear",), Kind.LAMP, load_w=10.0)
SOUND = Plan(Vehicle("invented"), (), RUNS, (HORN, TAIL))
LOST = Circuit("lost", "front", "battery", "panel", "lamp", ("nowhere",), Kind.LAMP, load_a=1.0)
UNSOUND = Plan(Vehicle("invented"), (), RUNS, (HORN, LOST))


@pytest.fixture
def sheet(tmp_path):
    """Writes a plan as a JSON sheet and gives its path."""

    def write(plan):
        path = tmp_path / "plan.json"
        path.write_bytes(write_json(plan))
        return str(path)

    return write


def run(*words):
    """Status, standard output and standard error of the command in this process."""
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("quote_sheet", *words, stdout=out, stderr=err)
    except SystemExit as end:
        return int(end.code or 0), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


def test_a_sound_sheet_ends_with_0_and_writes_answer_and_paper(sheet, tmp_path):
    status, out, err = run(sheet(SOUND), "--json", str(tmp_path / "a.json"), "--pdf", str(tmp_path / "a.pdf"))
    told = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert (status, err) == (0, "")
    assert [circuit["circuit"] for circuit in told["circuits"]] == ["horn", "tail lamps"]
    assert Decimal(told["quote"]["total"]) > 0
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")
    assert told["quote"]["total"] in out


def test_the_summary_says_size_fuse_reason_and_cautions(sheet):
    _, out, _ = run(sheet(SOUND))
    assert "horn (front): 5 A, blade fuse 7.5 A at panel, drop" in out
    assert "18 AWG: drop" in out
    assert all(caution in out for caution in cautions())


def test_basis_and_cautions_go_with_the_figures(sheet, tmp_path):
    run(sheet(SOUND), "--json", str(tmp_path / "a.json"))
    told = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert told["cautions"] == list(cautions())
    assert {"figure", "basis", "source"} <= told["basis"][0].keys()


def test_a_finding_of_severity_error_ends_with_1_and_still_writes_the_answer(sheet, tmp_path):
    status, out, _ = run(sheet(UNSOUND), "--json", str(tmp_path / "a.json"))
    told = json.loads((tmp_path / "a.json").read_text(encoding="utf-8"))
    assert status == 1
    assert any(one["severity"] == "error" and one["circuit"] == "lost" for one in told["findings"])
    assert "[unknown-place]" in out


def test_unreadable_cells_end_with_2_and_are_all_named_and_nothing_is_written(tmp_path):
    rows = [
        {"circuit": "horn", "section": "front", "feed": "battery", "fed_at": "panel", "load": "horn",
         "load_at": "grille", "load_a": "lots", "kind": "coil"},
        {"circuit": "tail", "section": "rear", "feed": "battery", "fed_at": "panel", "load": "lamp",
         "load_at": "rear", "load_a": "1", "kind": "candle"},
    ]  # fmt: skip
    path = tmp_path / "plan.json"
    path.write_text(json.dumps({"circuits": rows}), encoding="utf-8")
    status, out, err = run(str(path), "--json", str(tmp_path / "a.json"), "--pdf", str(tmp_path / "a.pdf"))
    assert (status, out) == (2, "")
    assert "load_a" in err
    assert "'lots'" in err
    assert "kind" in err
    assert "'candle'" in err
    assert not (tmp_path / "a.json").exists()
    assert not (tmp_path / "a.pdf").exists()


@pytest.mark.parametrize("name", ["missing.xlsx", "missing"])
def test_a_sheet_that_is_not_there_ends_with_2(tmp_path, name):
    status, _, err = run(str(tmp_path / name))
    assert status == 2
    assert name in err


def test_a_file_that_is_no_sheet_ends_with_2(tmp_path):
    (tmp_path / "plan.xlsx").write_bytes(b"not a workbook")
    status, _, err = run(str(tmp_path / "plan.xlsx"))
    assert status == 2
    assert "plan.xlsx" in err


def test_output_that_cannot_be_written_ends_with_2(sheet, tmp_path):
    status, _, err = run(sheet(SOUND), "--json", str(tmp_path / "no" / "such" / "folder.json"))
    assert status == 2
    assert "folder.json" in err


def test_workbook_zip_and_json_give_the_same_answer(tmp_path):
    plan = load_starter("closed_car")
    answers = []
    for name, write in (("p.xlsx", write_xlsx), ("p.zip", write_csv_zip), ("p.json", write_json)):
        (tmp_path / name).write_bytes(write(plan))
        run(str(tmp_path / name), "--json", str(tmp_path / "a.json"))
        answers.append((tmp_path / "a.json").read_bytes())
    assert answers[0] == answers[1] == answers[2]


def test_the_answer_on_standard_output_is_json_alone(sheet):
    _, out, _ = run(sheet(SOUND), "--json", "-")
    assert len(json.loads(out)["circuits"]) == 2


def test_prices_come_from_the_book_that_is_named(sheet, tmp_path):
    items = [item for item in example_price_book().items if item.kind != "clip"]
    (tmp_path / "prices.csv").write_bytes(write_price_book(items))
    status, out, _ = run(sheet(SOUND), "--prices", str(tmp_path / "prices.csv"))
    assert status == 0
    assert "no price for clip" in out


def test_a_price_book_with_faults_ends_with_2_and_names_them_all(sheet, tmp_path):
    (tmp_path / "prices.csv").write_bytes(b"kind,spec,unit,cost\nwire,a,m,cheap\nwires,b,m,1\n")
    status, _, err = run(sheet(SOUND), "--prices", str(tmp_path / "prices.csv"))
    assert status == 2
    assert "'cheap'" in err
    assert "'wires'" in err


def quote_of(out):
    return json.loads(out)["quote"]


def test_terms_given_on_the_line_are_used(sheet):
    _, out, _ = run(sheet(SOUND), "--json", "-", "--currency", "JPY", "--rate", "9000", "--basis", "P50")
    quote = quote_of(out)
    assert quote["currency"] == "JPY"
    assert {line["unit_price"] for line in quote["lines"] if line["class"] == "labour"} == {"9000"}


def test_a_worse_vehicle_costs_more(sheet):
    path = sheet(SOUND)
    sound, poor = (quote_of(run(path, "--json", "-", "--condition", one)[1]) for one in ("sound", "poor"))
    assert Decimal(poor["total"]) > Decimal(sound["total"])


def test_the_series_in_stock_is_used(sheet):
    _, out, _ = run(sheet(SOUND), "--json", "-", "--series", "mm2")
    wires = [wire for circuit in json.loads(out)["circuits"] for wire in circuit["wires"]]
    assert wires
    assert all(wire["size"].endswith("mm²") for wire in wires)


@pytest.mark.parametrize("words", [("--currency", "euro"), ("--locale", "nowhere_XX")])
def test_terms_that_make_no_sense_end_with_2(sheet, words):
    status, _, err = run(sheet(SOUND), *words)
    assert status == 2
    assert words[1] in err


@pytest.mark.parametrize("words", [("--rate", "-4"), ("--rate", "lots"), ("--series", "inch"), ("--condition", "new")])
def test_an_option_that_cannot_be_read_is_named(sheet, words):
    with pytest.raises(CommandError, match=words[0]):
        run(sheet(SOUND), *words)


def test_it_runs_where_no_database_can_be_reached(sheet, tmp_path):
    """In a process of its own, with a database address that answers nobody."""
    env = os.environ | {"DATABASE_URL": "postgresql://nobody@127.0.0.1:1/none", "LOOMWRIGHT_VAR": str(tmp_path / "var")}
    env["DJANGO_SETTINGS_MODULE"] = "shop.settings"
    done = subprocess.run(
        [sys.executable, "manage.py", "quote_sheet", sheet(UNSOUND), "--pdf", str(tmp_path / "q.pdf")],
        cwd=ROOT, env=env, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (1, "")
    assert (tmp_path / "q.pdf").stat().st_size > 1000


def test_a_bad_sheet_in_a_process_of_its_own_ends_with_2_and_no_traceback(tmp_path):
    (tmp_path / "plan.json").write_text("{", encoding="utf-8")
    env = os.environ | {"LOOMWRIGHT_VAR": str(tmp_path / "var"), "DJANGO_SETTINGS_MODULE": "shop.settings"}
    done = subprocess.run(
        [sys.executable, "manage.py", "quote_sheet", str(tmp_path / "plan.json")],
        cwd=ROOT, env=env, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "plan.json" in done.stderr
    assert "Traceback" not in done.stderr
