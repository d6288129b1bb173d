"""The house as its tests see it: floors, pure modules, Django folders."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FLOORS = ("circuits", "estimating", "shop")
"""From the ground up."""


def level(name: str) -> int | None:
    """Floor of a dotted name or path, counted from the ground; None for what is not of the house."""
    first = name.replace("/", ".").split(".")[0]
    return FLOORS.index(first) if first in FLOORS else None


def sources(*floors: str) -> Iterator[Path]:
    """Every Python file of the floors, migrations apart."""
    for floor in floors or FLOORS:
        for path in sorted((ROOT / floor).rglob("*.py")):
            if "migrations" not in path.parts:
                yield path


def module_name(path: Path) -> str:
    """Dotted name of a source file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def is_in_django_folder(path: Path) -> bool:
    """True where the file, or a folder above it, belongs to a Django app."""
    return any((folder / "apps.py").exists() for folder in path.parents if folder.is_relative_to(ROOT))


def pure_sources() -> list[Path]:
    """Files of the two lower floors outside Django folders: the pure cores."""
    return [path for path in sources("circuits", "estimating") if not is_in_django_folder(path)]


def tool_settings() -> dict:
    """The ``tool`` table of ``pyproject.toml``."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]
