"""Answers as JSON: read, refused with their place, handed out again."""

from __future__ import annotations

import io
import json
import sys

import pytest
from django.core.management import call_command

from circuits.diagnosis.exchange import diagnosis_dict, question_dict, read_counted, read_seen, seen_dict
from circuits.diagnosis.finder import Finder
from circuits.electrical.sizing import size_plan
from circuits.errors import UnreadableError
from circuits.sheets import write_json
from tests.circuits.diagnosis.test_finder import PLAN

ENTRIES = [
    {"load": "tail", "state": "lights on", "does": "off"},
    {"fuse": "tail", "state": "lights on", "is": "whole"},
    {"fuse": "tail", "switches": {"lights": "on"}, "is": "holds"},
    {"fuse": "tail", "state": "lights on", "reading": "10 mA"},
    {"point": "tail/1 end", "to": "body", "state": "lights on", "reading": "11.9 V"},
    {"point": "tail/1 end", "state": "all off", "reading": "0.4 ohm", "pulled": ["tail"], "unplugged": ["stop"]},
    {"place": "joint at tail/1 end", "found": "good"},
]


@pytest.fixture(scope="module")
def finder():
    return Finder(size_plan(PLAN))


def test_every_kind_of_entry_is_read_and_written_again(finder):
    seen = read_seen(ENTRIES, finder)
    assert [one.question.act.value for one in seen] == ["look", "fuse", "refit", "amps", "volts", "ohms", "inspect"]
    assert read_seen([seen_dict(one) for one in seen], finder) == seen
    assert finder.diagnose(seen).groups


def test_a_question_with_its_answer_is_the_next_entry(finder):
    seen = read_seen(ENTRIES[:1], finder)
    told = diagnosis_dict(finder.diagnose(seen))
    asked = told["next"][0]["question"]
    answered = asked | (
        {"reading": "0 V"} if "unit" in asked else {"does": "off"} if "load" in asked else {"is": asked["answers"][0]}
    )
    (again,) = read_seen([answered], finder)
    assert question_dict(again.question) == asked


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ({"load": "tial", "state": "all off", "does": "off"}, "entry 1, load: found 'tial', expected a load"),
        ({"load": "tail", "state": "all off", "does": "shines"}, "does: found 'shines', expected one of off, dim"),
        ({"load": "tail", "state": "dusk", "does": "on"}, "state: found 'dusk', expected a state"),
        ({"fuse": "F9", "state": "all off", "is": "open"}, "fuse: found 'F9', expected a fuse"),
        ({"fuse": "tail", "state": "all off", "is": "gone"}, "is: found 'gone', expected one of whole"),
        ({"point": "tail/1 end", "state": "all off", "reading": "12"}, "reading: found '12', expected a reading in V"),
        ({"point": "nowhere", "state": "all off", "reading": "1 V"}, "point: found 'nowhere'"),
        ({"load": "tail", "state": "all off", "does": "on", "unplugged": "stop"}, "unplugged: found 'stop'"),
        ({"lamp": "tail"}, "found 'lamp', expected one of load"),
        ({"state": "all off"}, "no load, fuse, point or place"),
        ({"point": ["tail/1 end"], "state": "all off", "reading": "1 V"}, "point: found"),
        ({"point": "tail/1 end", "to": {}, "state": "all off", "reading": "1 V"}, "to: found '{}'"),
        ({"point": "tail/1 end", "state": "all off", "reading": "nan V"}, "reading: found 'nan V'"),
        ({"load": ["tail"], "state": ["all off"], "does": {}}, "load: found"),
        ({"load": "tail", "state": ["all off"], "does": "on"}, "state: found"),
        ("tail is dead", "expected an object"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_named_with_place_value_and_expectation(finder, entry, said):
    with pytest.raises(UnreadableError) as refused:
        read_seen([entry], finder)
    assert said in str(refused.value)


def test_all_entries_at_fault_are_named_at_once(finder):
    with pytest.raises(UnreadableError) as refused:
        read_seen([{"load": "x"}, ENTRIES[0], {"fuse": "y"}], finder)
    assert [fault.sheet for fault in refused.value.faults] == ["seen, entry 1", "seen, entry 3"]


def test_counts_of_closed_faults_are_checked():
    assert read_counted([]) == {}
    for wrong in ({"rust": 3}, {"bad_ground": -1}, {"bad_ground": "many"}, [3]):
        with pytest.raises(UnreadableError, match="closed_faults"):
            read_counted({"closed_faults": wrong})


def run(*words):
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("find_fault", *words, stdout=out, stderr=err)
    except SystemExit as end:
        return int(end.code or 0), out.getvalue(), err.getvalue()
    return 0, out.getvalue(), err.getvalue()


@pytest.fixture
def files(tmp_path):
    (tmp_path / "plan.json").write_bytes(write_json(PLAN))
    (tmp_path / "seen.json").write_text(json.dumps({"seen": ENTRIES[:2]}), encoding="utf-8")
    return tmp_path


def test_the_command_answers_with_suspects_tests_and_cautions(files):
    status, out, err = run(
        str(files / "plan.json"), "--seen", str(files / "seen.json"), "--json", str(files / "a.json")
    )
    told = json.loads((files / "a.json").read_text(encoding="utf-8"))
    assert (status, err) == (0, "")
    assert told["groups"][0]["share"] > 0
    assert {"words", "minutes", "question", "outcomes"} <= set(told["next"][0])
    assert told["cautions"]
    assert "Next" in out


def test_the_command_refuses_bad_input_in_one_line_each(files, monkeypatch):
    (files / "bad.json").write_text("{not json", encoding="utf-8")
    status, out, err = run(str(files / "plan.json"), "--seen", str(files / "bad.json"))
    assert (status, out) == (2, "")
    assert "expected JSON of what was seen" in err
    status, _, err = run(str(files / "nothing.xlsx"), "--seen", str(files / "seen.json"))
    assert status == 2
    assert "no such file or folder; expected a circuit sheet" in err
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b'[{"load": "bell", "does": "off"}]')))
    status, _, err = run(str(files / "plan.json"), "--seen", "-")
    assert status == 2
    assert "entry 1, load: found 'bell'" in err
