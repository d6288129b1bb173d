"""What a reader is told is true and whole: variables, commands, targets, findings."""

from __future__ import annotations

import csv
import re
import tomllib

import pytest
from django.core.management import get_commands
from django.test import Client

from tests.house import FLOORS, ROOT, level, sources

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")
VARIABLE = re.compile(r"\b(?:LOOMWRIGHT_[A-Z_]+|DATABASE_URL|REDIS_URL)\b")
READ = re.compile(r'\b(?:environ(?:\.get\(|\[)|flag\(|words\(|number\()"(LOOMWRIGHT_[A-Z_]+|DATABASE_URL|REDIS_URL)"')
BETWEEN_PROCESSES = {"LOOMWRIGHT_TIED"}
"""Set by one of our processes for another; nobody sets them by hand."""


def variables_of(paths) -> set[str]:
    """Variables of the environment that these files read."""
    return {name for path in paths for name in READ.findall(path.read_text(encoding="utf-8"))} - BETWEEN_PROCESSES


def test_every_variable_of_the_site_is_in_the_readme():
    used = variables_of(sources())
    assert "LOOMWRIGHT_VAR" in used
    assert {name for name in used if f"`{name}`" not in README} == set()


def test_the_readme_tells_of_no_variable_that_nothing_reads():
    tests = (ROOT / "tests").rglob("*.py")
    assert set(VARIABLE.findall(README + DEVELOPERS)) <= variables_of([*sources(), *tests])


def test_every_variable_of_the_tests_is_explained_to_developers():
    tests = [path for path in (ROOT / "tests").rglob("*.py") if path.name != "test_docs.py"]
    used = variables_of(tests)
    assert "LOOMWRIGHT_REQUIRE" in used
    assert {name for name in used if not re.search(rf"`{name}[`=]", README + DEVELOPERS)} == set()


def test_every_command_is_in_the_readme():
    ours = {name for name, app in get_commands().items() if level(app) is not None}
    assert {"quote_sheet", "size_wire", "demo_shop"} <= ours
    assert {name for name in ours if name not in README} == set()


def test_the_readme_names_no_command_that_is_not_there():
    named = set(re.findall(r"manage\.py (\w+)", README + DEVELOPERS))
    assert named <= set(get_commands())


def test_every_make_target_is_explained_and_there():
    targets = set("".join(re.findall(r"\.PHONY: (.*)", MAKEFILE)).split())
    assert set(re.findall(r"make ([a-z]+)", README + DEVELOPERS)) == targets


def test_every_file_named_is_there():
    named = {
        path
        for path in re.findall(r"`([\w./-]+\.(?:py|csv|md|toml|txt|html))`", README + DEVELOPERS)
        if "/" in path and "X" not in path
    }
    assert named
    assert {path for path in named if not (ROOT / path).exists()} == set()


@pytest.mark.django_db
def test_every_finding_code_is_in_the_help(django_user_model):
    with (ROOT / "circuits" / "finding_codes.csv").open(encoding="utf-8", newline="") as file:
        codes = {row["code"] for row in csv.DictReader(file)}
    client = Client()
    client.force_login(django_user_model.objects.create_user("reader", role="owner"))
    page = client.get("/help/findings/").content.decode()
    assert codes
    assert {code for code in codes if code not in page} == set()


def test_every_finding_that_is_given_has_a_code_in_the_table():
    with (ROOT / "circuits" / "finding_codes.csv").open(encoding="utf-8", newline="") as file:
        codes = {row["code"] for row in csv.DictReader(file)}
    given = {
        match[1]
        for path in sources(*FLOORS)
        for match in re.finditer(r'\bfinding\(\s*"([a-z-]+)"', path.read_text(encoding="utf-8"))
    }
    assert len(given) > 10
    assert given - codes == set()


def test_the_lock_has_exact_versions_and_names_no_index():
    for name in ("requirements.txt", "tests/requirements.txt"):
        lines = [
            line
            for line in (ROOT / name).read_text(encoding="utf-8").splitlines()
            if line.strip() and not line.strip().startswith("#")
        ]
        assert all(re.match(r"^[a-z0-9._-]+==[^ ]+( ; .*)?$", line) for line in lines), name


def test_the_lock_holds_what_the_project_asks_for():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for name, wanted in (
        ("requirements.txt", project["dependencies"]),
        ("tests/requirements.txt", project["dependencies"] + project["optional-dependencies"]["test"]),
    ):
        locked = set(re.findall(r"^([a-z0-9._-]+)==", (ROOT / name).read_text(encoding="utf-8"), re.MULTILINE))
        assert {re.split(r"[^a-z0-9-]", line)[0] for line in wanted} <= locked
