"""The answer keeps the keys that were agreed, and shows no false digits."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
from circuits.sheets import load_starter
from circuits.wiring import Role
from estimating.answer import answer, json_text
from estimating.pricing.quote import Terms
from estimating.rules import ShopRules
from estimating.workup import work_up
from tests.bench.made_plan import made_plan

ROOT = Path(__file__).parents[2]

AGREED = {
    "circuits": {"circuit", "section", "current_a", "drop_percent", "drop_limit_percent", "fuse", "relay", "wires"},
    "fuse": {"family", "rating_a", "at"},
    "relay": {"at"},
    "wires": {
        "wire", "from", "to", "role", "size", "area_mm2", "colour", "length_m", "current_a", "ambient_c", "bundle",
        "ampacity_a", "drop_v", "governed_by", "tried",
    },
    "tried": {"size", "limit", "value", "allowed", "ok", "source"},
    "findings": {"code", "severity", "circuit", "wire", "message", "figure", "limit", "cure"},
    "parts": {"kind", "spec", "quantity", "unit", "circuits"},
    "hours": {"mean", "p50", "p80", "p90", "by_section", "elements"},
    "elements": {"element", "count", "mean_min"},
    "quote": {"currency", "lines", "net", "tax", "total", "deposit"},
    "lines": {"class", "text", "quantity", "unit_price", "net", "tax_rate"},
}  # fmt: skip
"""Keys agreed for scripts: more may be added, none may go."""


@pytest.fixture(scope="module")
def told():
    return answer(work_up(made_plan(40)))


def nodes(value, name):
    """Every dict that stands under a key, itself or in a list."""
    if isinstance(value, list):
        for one in value:
            yield from nodes(one, name)
    elif isinstance(value, dict):
        yield name, value
        for key, one in value.items():
            yield from nodes(one, key)


def test_no_agreed_key_is_missing(told):
    seen = set()
    for name, node in nodes(told, ""):
        if name in AGREED and not (name == "circuits" and "circuit" not in node):
            assert node.keys() >= AGREED[name]
            seen.add(name)
    assert seen == set(AGREED)
    assert all({"mean", "p80"} <= section.keys() for section in told["hours"]["by_section"].values())


def test_what_is_text_or_a_list_or_null_is_so(told):
    assert {part["unit"] for part in told["parts"]} <= {"piece", "m"}
    assert all(isinstance(part["circuits"], list) for part in told["parts"])
    assert {type(circuit["fuse"]) for circuit in told["circuits"]} == {dict, type(None)}
    assert {wire["role"] for circuit in told["circuits"] for wire in circuit["wires"]} <= {str(role) for role in Role}
    assert {finding["severity"] for finding in told["findings"]} <= {"error", "warning", "note"}
    assert {line["class"] for line in told["quote"]["lines"]} <= {"parts", "labour", "sundries", "carriage"}


def test_a_relay_is_told_where_it_is(told):
    relayed = [circuit for circuit in told["circuits"] if circuit["relay"]]
    assert relayed
    assert {circuit["relay"]["at"] for circuit in relayed} == {"bulkhead"}


def test_a_circuit_of_the_plan_is_an_entry_even_if_it_is_not_wired(told):
    assert [circuit["circuit"] for circuit in told["circuits"]] == [f"circuit {number}" for number in range(40)]


@pytest.mark.parametrize(("currency", "decimals"), [("EUR", 2), ("JPY", 0), ("KWD", 3)])
def test_money_is_text_with_the_decimals_of_the_currency(currency, decimals):
    quote = answer(work_up(made_plan(5), ShopRules(terms=Terms(currency=currency))))["quote"]
    amounts = [quote[key] for key in ("net", "tax", "total", "deposit")]
    amounts += [line[key] for line in quote["lines"] for key in ("unit_price", "net")]
    assert all(isinstance(amount, str) and len(amount.partition(".")[2]) == decimals for amount in amounts)


def test_the_figure_of_the_hours_that_is_sold_is_told(told):
    assert told["quote"]["labour_basis"] == "P80"


def test_no_number_has_more_than_six_significant_digits(told):
    text = json_text(told)
    numbers = re.findall(r"(?<=: )-?[0-9.]+(?:e-?[0-9]+)?(?=,?\n)", text)
    assert len(numbers) > 1000
    assert not [n for n in numbers if len(n.partition("e")[0].replace(".", "").strip("-").strip("0")) > 6]


def test_the_answer_survives_json(told):
    assert json.loads(json_text(told)) == told


def test_the_answer_does_not_hang_on_the_order_of_hashes():
    code = (
        "from estimating.answer import *; from estimating.workup import work_up; "
        "from tests.bench.made_plan import made_plan; print(json_text(answer(work_up(made_plan(12)))))"
    )
    texts = [
        subprocess.run(
            [sys.executable, "-c", code],
            env=os.environ | {"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            cwd=ROOT,
        ).stdout
        for seed in ("1", "2")
    ]
    assert texts[0] == texts[1]
    assert len(texts[0]) > 1000


def test_the_cores_of_the_work_up_load_without_django():
    code = (
        "import sys; sys.modules['django'] = None; import estimating.answer, estimating.summary; "
        "print(sum(name.startswith('django') for name in sys.modules))"
    )
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, cwd=ROOT).stdout.strip() == b"1"
    )


def test_a_circuit_without_a_path_is_told_with_its_finding_and_no_wires():
    horn = Circuit("horn", "front", "battery", "panel", "horn", ("nowhere",), Kind.COIL, load_a=5.0)
    told = answer(work_up(Plan(Vehicle(), (), (Run("panel", "engine", 1.0),), (horn,))))
    assert told["circuits"][0]["wires"] == []
    assert [finding["severity"] for finding in told["findings"] if finding["circuit"] == "horn"] == ["error"]


def test_the_largest_starter_is_told():
    assert len(answer(work_up(load_starter("closed_car")))["circuits"]) == 42
