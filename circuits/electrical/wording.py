"""Figures of limits for people: a broken limit never reads as if it were kept."""

from __future__ import annotations

from collections.abc import Callable

from circuits.figures import format_area, format_current, significant
from circuits.sized import Trial


def value_text(trial: Trial) -> str:
    """The value tried, with its unit, in enough digits to tell it from the limit.

    Examples
    --------
    >>> from circuits.sized import Limit
    >>> value_text(Trial("16 AWG", Limit.DROP, 3.02, 3.0, "%", False, "")), allowed_text(
    ...     Trial("16 AWG", Limit.DROP, 3.02, 3.0, "%", False, ""))
    ('3.02 %', '3 %')
    """
    return _text(trial, trial.value, trial.allowed)


def allowed_text(trial: Trial) -> str:
    """The greatest value allowed, with its unit, in enough digits to tell it from the value tried."""
    return _text(trial, trial.allowed, trial.value)


def _text(trial: Trial, figure: float, other: float) -> str:
    if trial.unit == "A":
        return _apart(figure, other, format_current)
    if trial.unit == "mm²":
        return _apart(figure, other, format_area)
    return _apart(figure, other, percent_text)


def percent_text(value: float) -> str:
    """A drop, to a tenth of a per cent and no trailing zero.

    Examples
    --------
    >>> percent_text(2.14), percent_text(3.0)
    ('2.1 %', '3 %')
    """
    return f"{round(value, 1):g} %"


def _apart(figure: float, other: float, usual: Callable[[float], str]) -> str:
    if usual(figure) != usual(other) or figure == other:
        return usual(figure)
    number, unit = usual(figure).rsplit(" ", 1)
    shown = significant(figure, 5) if unit != "mA" else number
    return f"{shown} {unit}"
