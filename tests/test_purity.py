"""The pure cores are pure: no Django, no clock, no chance, no files but their own tables."""

from __future__ import annotations

import ast
import re
import subprocess
import sys

import pytest

from tests.house import ROOT, module_name, pure_sources

BLOCKED = ("django", "celery", "kombu", "redis", "psycopg", "sqlite3", "shop")

IMPORT_ALL = """
import importlib, sys
class Block:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {blocked!r}:
            raise ImportError(f"{{name}} is blocked")
sys.meta_path.insert(0, Block())
for name in {names!r}:
    importlib.import_module(name)
print(len({names!r}))
"""

FORBIDDEN_IMPORTS = {"os", "random", "time", "secrets", "socket", "subprocess", "urllib", "tempfile", "shutil", "uuid"}
FORBIDDEN_CALLS = {"now", "today", "utcnow", "print", "input", "default_rng"}
FILE_CALLS = {"open", "read_text", "read_bytes", "write_text", "write_bytes"}
HANDED_THEIR_FILES = ("circuits.sheets",)
"""The sheets read and write the file they are handed; every other core reads only tables packed beside it."""

PURE = pure_sources()


def names_called(tree: ast.AST) -> list[tuple[int, str, str]]:
    """Line, last name and whole text of every call."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    return [(node.lineno, re.split(r"\W", ast.unparse(node.func))[-1], ast.unparse(node)) for node in calls]


def test_the_cores_import_with_django_and_the_servers_blocked():
    names = [module_name(path) for path in PURE]
    script = IMPORT_ALL.format(blocked=BLOCKED, names=names)
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) == len(names) > 30


@pytest.mark.parametrize("path", PURE, ids=module_name)
def test_a_core_reads_no_clock_no_chance_and_no_file_but_its_own(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    imported = {
        name.split(".")[0]
        for node in ast.walk(tree)
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert not imported & FORBIDDEN_IMPORTS
    is_handed = module_name(path).startswith(HANDED_THEIR_FILES)
    for line, name, text in names_called(tree):
        assert name not in FORBIDDEN_CALLS, f"{path}:{line} {text}"
        own = "__file__" in text or "files(" in text or text.startswith("read_text(")
        assert name not in FILE_CALLS or own or is_handed, f"{path}:{line} reads a file that is not its own: {text}"
