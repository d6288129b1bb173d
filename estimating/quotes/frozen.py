"""Values to plain data and back, so that an issued paper keeps what it was made from.

Any frozen dataclass of this house whose fields are text, numbers, ``Decimal``, dates, bytes, enums, tuples and other
such dataclasses can be kept. ``Decimal`` goes as text, so that 10.00 stays 10.00. Fields that a later release adds
take their default when an old record is read; fields that it dropped are ignored.
"""

from __future__ import annotations

import base64
import dataclasses
import types
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from circuits.errors import LoomwrightError

T = TypeVar("T")


class RecordError(LoomwrightError, ValueError):
    """A stored record that does not fit the value it should become."""


def to_data(value: Any) -> Any:
    """Plain data (what JSON can hold) for a value.

    Raises
    ------
    RecordError
        For a value of a type that has no plain form.

    Examples
    --------
    >>> from circuits.plan import Zone
    >>> to_data((Zone("cabin", 40.0), Decimal("10.00"), date(2026, 3, 1)))
    [{'name': 'cabin', 'ambient_c': 40.0}, '10.00', '2026-03-01']
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_data(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Enum):
        return value.value
    if value is None or isinstance(value, bool | int | float | str):
        return value
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bytes):
        return base64.b64encode(value).decode("ascii")
    if isinstance(value, dict):
        return {str(key): to_data(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [to_data(item) for item in value]
    raise RecordError(f"cannot keep a {type(value).__name__}")


def from_data(kind: type[T], data: Any) -> T:
    """The value of type ``kind`` that ``data`` was made from.

    Raises
    ------
    RecordError
        Where the data does not fit; names the type.

    Examples
    --------
    >>> from circuits.plan import Zone
    >>> from_data(Zone, {"name": "cabin", "ambient_c": 40.0})
    Zone(name='cabin', ambient_c=40.0)
    >>> from_data(tuple[Decimal, ...], ["10.00", "2"])
    (Decimal('10.00'), Decimal('2'))
    """
    try:
        value: T = _read(kind, data)
    except (ArithmeticError, KeyError, TypeError, ValueError) as error:
        raise RecordError(f"cannot read a {getattr(kind, '__name__', kind)} from what was kept: {error}") from error
    return value


def _read(kind: Any, data: Any) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        if data is None:
            return None
        return _read(next(arm for arm in get_args(kind) if arm is not types.NoneType), data)
    if origin is tuple:
        arms = get_args(kind)
        if len(arms) == 2 and arms[1] is Ellipsis:
            return tuple(_read(arms[0], item) for item in data)
        return tuple(_read(arm, item) for arm, item in zip(arms, data, strict=True))
    if origin is dict:
        key_kind, item_kind = get_args(kind)
        return {_read(key_kind, key): _read(item_kind, item) for key, item in data.items()}
    if dataclasses.is_dataclass(kind):
        return _read_dataclass(kind, data)
    if kind is Any:
        return data
    return _read_scalar(kind, data)


def _read_scalar(kind: Any, data: Any) -> Any:
    if kind is datetime or kind is date:
        return kind.fromisoformat(data)
    if kind is bytes:
        return base64.b64decode(data)
    if kind is bool:
        if not isinstance(data, bool):
            raise TypeError(f"{data!r} is neither true nor false")
        return data
    return kind(data)


def _read_dataclass(kind: Any, data: dict[str, Any]) -> Any:
    hints = get_type_hints(kind)
    known = {field.name: hints[field.name] for field in dataclasses.fields(kind) if field.init}
    return kind(**{name: _read(hint, data[name]) for name, hint in known.items() if name in data})
