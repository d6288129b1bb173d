"""``manage.py power_sheet``: states, faults, ranking, and bad input told in one message."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from django.core.management import call_command

import circuits
from circuits.electrical.sizing import size_plan
from circuits.network.states import switched_on
from circuits.sheets import write_json
from tests.circuits.harness.test_lookalikes import PLAN

SHEET = str(Path(circuits.__file__).parent / "sheets" / "starters" / "pickup")


def run(*arguments: str, sheet: str = SHEET) -> tuple[int, str]:
    try:
        call_command("power_sheet", sheet, *arguments)
    except SystemExit as ended:
        return int(ended.code or 0), ""
    return 0, ""


def test_a_named_state_is_answered_with_loads_fuses_and_live_wires(tmp_path: Path) -> None:
    to = tmp_path / "answer.json"
    status, _ = run("--state", "horn on", "--json", str(to))
    [state] = json.loads(to.read_text())["states"]
    horn = next(load for load in state["loads"] if load["circuit"] == "horns")
    assert status == 0
    assert (horn["showing"], horn["wanted"]) == ("on", True)
    assert any(fuse["fuse"] == "horns" and fuse["current_a"] > 5 for fuse in state["fuses"])
    assert any(wire["wire"].startswith("horns/") for wire in state["wires"])
    assert state["residual_a"] < 1e-9


def test_a_fault_is_a_finding_and_ends_with_1(tmp_path: Path) -> None:
    to = tmp_path / "answer.json"
    status, _ = run("--state", "horn on", "--fault", "blown fuse: horns", "--rank", "blown fuse", "--json", str(to))
    answer = json.loads(to.read_text())
    assert status == 1
    assert answer["faults"] == ["blown fuse: fuse: horns"]
    assert "load-dead" in {found["code"] for found in answer["states"][0]["findings"]}
    dangers = [one["danger"] for one in answer["ranked"]["horn on"]]
    assert dangers == sorted(dangers, reverse=True)
    assert dangers[0] > 0


def test_look_alikes_and_cavities_are_ranked_by_what_their_swap_does(tmp_path: Path) -> None:
    sheet, to = tmp_path / "plan.json", tmp_path / "answer.json"
    sheet.write_bytes(write_json(PLAN))
    thrown = switched_on(size_plan(PLAN), "side lamps")
    state = ", ".join(f"{function}={position}" for function, position in thrown.items())
    for rank, first in (("look-alikes", "C1 and C2 swapped"), ("two cavities swapped", "two cavities swapped: joint")):
        run("--state", state, "--rank", rank, "--json", str(to), sheet=str(sheet))
        ranked = json.loads(to.read_text())["ranked"][state]
        assert ranked[0]["fault"].startswith(first)
        assert ranked[0]["danger"] > 0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--state", "horn loud"), "horn on"),
        (("--state", "horn=loud"), "expected off, on"),
        (("--fault", "bad day: horn"), "expected KIND: WHERE"),
        (("--fault", "blown fuse: hornz"), "horns"),
        (("--fault", "short to a neighbour: battery plus"), "two places"),
        (("--state", "horn on", "--rank", "bad day"), "lost ground"),
        (("--json", "/nowhere/at/all.json", "--state", "horn on"), "No such file"),
    ],
)
def test_bad_input_gets_one_message_and_2(arguments: tuple[str, ...], said: str, capsys) -> None:
    assert run(*arguments)[0] == 2
    errors = capsys.readouterr().err
    assert said in errors
    assert "Traceback" not in errors
