"""What the shop runs on is what requirements.txt installs: tests bring more, and must not hide what is missing."""

from __future__ import annotations

import ast
import importlib.util
import re
import sys
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from tests.house import FLOORS, ROOT, sources

BROKER = "kombu.transport.redis"
"""Loaded by name where a broker is configured: no import of ours shows it."""


def installed() -> set[str]:
    """Names of the distributions that requirements.txt installs somewhere."""
    lines = (ROOT / "requirements.txt").read_text(encoding="utf-8").splitlines()
    return {match[1].lower().replace("_", "-") for line in lines if (match := re.match(r"([A-Za-z0-9._-]+)==", line))}


def imported(path: Path) -> Iterator[str]:
    """Top names of the modules that a file imports, but those guarded by a try."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    guarded = {inner for node in ast.walk(tree) if isinstance(node, ast.Try) for inner in ast.walk(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import) and node not in guarded:
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level and node.module and node not in guarded:
            yield node.module.partition(".")[0]


@cache
def distributions() -> Mapping[str, list[str]]:
    """Names of the distributions that bring a module."""
    return packages_distributions()


def foreign(path: Path) -> dict[str, list[str]]:
    """Distributions by module, of what a file imports from others."""
    names = {name for name in imported(path) if name not in sys.stdlib_module_names and name not in FLOORS}
    return {name: distributions().get(name, [name]) for name in sorted(names)}


@pytest.mark.parametrize("floor", FLOORS)
def test_every_library_that_a_floor_imports_is_required(floor: str) -> None:
    there = installed()
    missing = {
        f"{path.relative_to(ROOT)}: {module}"
        for path in sources(floor)
        for module, names in foreign(path).items()
        if not there & {name.lower().replace("_", "-") for name in names}
    }
    assert not missing


def test_what_the_broker_needs_is_required() -> None:
    spec = importlib.util.find_spec(BROKER)
    assert spec
    assert spec.origin
    needed = foreign(Path(spec.origin))
    assert "packaging" in needed
    assert {name for names in needed.values() for name in names} <= installed()
