"""The house stays as laid out: nothing points upward, nothing grows past its bounds, docstrings fit signatures."""

from __future__ import annotations

import ast
import csv
import importlib
import inspect
import re
from pathlib import Path

import pytest
from django.apps import apps
from django.db.migrations.loader import MigrationLoader

from tests.house import FLOORS, ROOT, level, module_name, pure_sources, sources, tool_settings

MAX_LINES = 400


def namespaces() -> dict[str, str]:
    """Floor of each URL namespace, by the ``urls.py`` that names it."""
    found = {}
    for path in sources():
        if path.name == "urls.py" and (name := re.search(r'^app_name = "(\w+)"', path.read_text(), re.MULTILINE)):
            found[name[1]] = path.relative_to(ROOT).parts[0]
    return found


def is_upward(source: str, target: str) -> bool:
    """True where one module of the house points to one on a higher floor."""
    lower, higher = level(source), level(target)
    return lower is not None and higher is not None and higher > lower


def above(floor: str) -> tuple[str, ...]:
    """Floors above one."""
    return FLOORS[FLOORS.index(floor) + 1 :]


def test_no_relation_points_to_a_higher_floor():
    upward = [
        f"{model.__module__}.{model.__name__}.{field.name} -> {field.related_model.__module__}"
        for model in apps.get_models()
        for field in model._meta.get_fields()
        if not field.auto_created and field.is_relation and field.related_model
        if is_upward(model.__module__, field.related_model.__module__)
    ]
    assert upward == []


def test_no_migration_depends_on_a_higher_floor():
    loader = MigrationLoader(None, ignore_no_migrations=True)
    name_of = {config.label: config.name for config in apps.get_app_configs()}
    upward = [
        f"{key} -> {dependency}"
        for key, migration in loader.disk_migrations.items()
        for dependency in migration.dependencies
        if is_upward(name_of[key[0]], name_of.get(dependency[0], ""))
    ]
    assert loader.disk_migrations
    assert upward == []


@pytest.mark.parametrize("floor", FLOORS[:-1])
def test_no_string_of_a_lower_floor_names_a_higher_one(floor):
    """``"shop.people.User"`` in a foreign key or ``"jobs:job"`` in a reverse is an import in disguise."""
    labels = {config.label for config in apps.get_app_configs() if config.name.split(".")[0] in above(floor)}
    urls = {name for name, of in namespaces().items() if of in above(floor)}
    packages = "|".join(above(floor))
    names = "|".join(labels)
    forbidden = re.compile(rf"^(({packages})\.[a-z_.]+|({names})\.[A-Z]\w+|({'|'.join(urls)}):\w+)$")
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno} {node.value!r}"
        for path in sources(floor)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and forbidden.match(node.value)
    ]
    assert urls
    assert found == []


@pytest.mark.parametrize("floor", FLOORS[:-1])
def test_no_template_of_a_lower_floor_names_a_higher_one(floor):
    urls = "|".join(name for name, of in namespaces().items() if of in above(floor))
    forbidden = re.compile(
        rf"""{{%\s*(url\s+['"]({urls}):|(include|extends)\s+['"]({"|".join(above(floor))})/)[^%]*%}}"""
    )
    found = [
        f"{path.relative_to(ROOT)}: {match[0]}"
        for path in sorted((ROOT / "templates" / floor).rglob("*.html"))
        for match in forbidden.finditer(path.read_text(encoding="utf-8"))
    ]
    assert found == []


def test_the_import_contracts_name_every_pure_module():
    contract = next(c for c in tool_settings()["importlinter"]["contracts"] if c["name"].startswith("Pure cores"))
    named = set(contract["source_modules"])
    unnamed = {
        ".".join(module_name(path).split(".")[:2]) for path in pure_sources() if "." in module_name(path)
    } - named
    assert unnamed == set(), "enter them under source_modules of that contract in pyproject.toml"


def test_every_source_file_is_of_a_readable_length():
    tests = (ROOT / "tests").rglob("*.py")
    long = {str(path.relative_to(ROOT)): n for path in (*sources(), *tests) if (n := line_count(path)) > MAX_LINES}
    assert long == {}


def test_every_row_of_every_table_names_its_source():
    texts = {"finding_codes.csv"}  # our own words, no data
    unsourced = []
    for path in sorted(table for floor in FLOORS for table in (ROOT / floor).rglob("*.csv")):
        if path.name in texts or "starters" in path.parts:
            continue
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        assert rows, path
        unsourced += [f"{path.relative_to(ROOT)}:{n}" for n, row in enumerate(rows, 2) if not row.get("source")]
    assert unsourced == []


def line_count(path: Path) -> int:
    """Lines of a file."""
    return len(path.read_text(encoding="utf-8").splitlines())


def documented_parameters(docstring: str) -> list[str]:
    """Names in a docstring's Parameters section.

    Examples
    --------
    >>> documented_parameters('''x.
    ...
    ... Parameters
    ... ----------
    ... a, b : float
    ...     Both.
    ... *rest
    ... ''')
    ['a', 'b', 'rest']
    """
    section = re.search(r"^Parameters\n-+\n(.*?)(?=^\w[^\n]*\n-{3,}$|\Z)", docstring, re.MULTILINE | re.DOTALL)
    if not section:
        return []
    names = [line.split(" :")[0] for line in section[1].splitlines() if re.match(r"^[\w*][\w*, ]*( :|$)", line)]
    return [name.strip().lstrip("*") for line in names for name in line.split(",")]


def parameters(thing) -> set[str]:
    """Names of the parameters of a function or of a class's constructor."""
    return {name for name in inspect.signature(thing).parameters if name not in ("self", "cls")}


def handed_on(thing) -> set[str]:
    """Names of ``**options`` that a function hands on: they may go without saying."""
    return {name for name, one in inspect.signature(thing).parameters.items() if one.kind is one.VAR_KEYWORD}


def public_things():
    """Every public function, class and method defined in the house, with its name."""
    for path in sources():
        if path.name in ("settings.py", "__main__.py") or "commands" in path.parts:
            continue
        module = importlib.import_module(module_name(path))
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
                continue
            if inspect.isclass(thing):
                yield f"{module.__name__}.{name}", thing
                for method_name, method in vars(thing).items():
                    if inspect.isfunction(method) and not method_name.startswith("_"):
                        yield f"{module.__name__}.{name}.{method_name}", method
            elif inspect.isfunction(thing):
                yield f"{module.__name__}.{name}", inspect.unwrap(thing)


def test_docstrings_name_the_parameters_of_the_signature():
    """Where a Parameters section stands, it names all parameters and those alone."""
    checked, wrong = 0, []
    for name, thing in public_things():
        documented = documented_parameters(inspect.getdoc(thing) or "") if thing.__doc__ else []
        if documented:
            checked += 1
            unsaid = parameters(thing) - set(documented) - handed_on(thing)
            unknown = set(documented) - parameters(thing)
            if unsaid or unknown:
                wrong.append(f"{name}: does not say {sorted(unsaid)}, says {sorted(unknown)}, which it does not take")
    assert checked > 50
    assert wrong == []
