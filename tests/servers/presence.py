"""What a test may need from the machine: skipped where missing, failed where it is required."""

from __future__ import annotations

import importlib.util
import os
import shutil
from typing import NoReturn

import pytest

REQUIRED = frozenset(filter(None, os.environ.get("LOOMWRIGHT_REQUIRE", "").split(",")))


def missing(what: str, why: str) -> NoReturn:
    """Skip the test, or fail it where ``LOOMWRIGHT_REQUIRE`` names ``what``."""
    if what in REQUIRED:
        pytest.fail(f"{what} is required and missing: {why}", pytrace=False)
    pytest.skip(f"{what} missing: {why}")


def need_module(what: str, module: str) -> None:
    """Need an importable module."""
    if importlib.util.find_spec(module) is None:
        missing(what, f"no module {module}")


def need_program(what: str, *names: str) -> str:
    """Need one of these programs on ``PATH``; its path."""
    for name in names:
        if path := shutil.which(name):
            return path
    missing(what, f"none of {', '.join(names)} on PATH")
