"""Functions that may be queued, by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from circuits.errors import LoomwrightError

WORK_OFF = "outbox.work_off"
SWEEP = "outbox.sweep"
"""Names under which a broker's messages find what to do here."""

Work = Callable[..., Any]
F = TypeVar("F", bound=Work)

_functions: dict[str, Work] = {}
_long: set[str] = set()


class UnknownTaskError(LoomwrightError, LookupError):
    """A name that no function is registered under."""


def task(name: str, *, is_long: bool = False) -> Callable[[F], F]:
    """Register the decorated function as ``name``, written ``app.verb_object``.

    One that may take longer than a page may be waited for ``is_long``: it is never run within a request.

    The function takes ids and other plain JSON values, bears being run twice, and lives in its app's ``tasks.py``.

    Raises
    ------
    ValueError
        Where another function already has the name.
    """

    def register(function: F) -> F:
        known = _functions.setdefault(name, function)
        if (known.__module__, known.__qualname__) != (function.__module__, function.__qualname__):
            raise ValueError(f"task {name!r} is registered twice: {known.__module__} and {function.__module__}")
        _functions[name] = function
        if is_long:
            _long.add(name)
        return function

    return register


def is_long(name: str) -> bool:
    """Whether a task may take longer than a page may be waited for."""
    return name in _long


def task_named(name: str) -> Work:
    """The function registered as ``name``.

    Raises
    ------
    UnknownTaskError
        Where there is none.
    """
    try:
        return _functions[name]
    except KeyError:
        raise UnknownTaskError(f"no task is named {name!r}; known: {', '.join(sorted(_functions)) or 'none'}") from None
