"""Wire colours by the letters of IEC 60757, base or base/tracer."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from circuits.errors import QuantityError


@dataclass(frozen=True, slots=True)
class Colour:
    """One colour of the standard.

    Parameters
    ----------
    code : str
        Letters of IEC 60757, e.g. ``RD``.
    name : str
        English name.
    hex : str
        How it is drawn, ``#rrggbb``. The standard gives no shade: ours, for screen and paper.
    """

    code: str
    name: str
    hex: str


def _read_colours() -> dict[str, Colour]:
    with (Path(__file__).parent / "data" / "colours.csv").open(encoding="utf-8", newline="") as file:
        return {row["code"]: Colour(row["code"], row["name"], row["hex"]) for row in csv.DictReader(file)}


COLOURS: dict[str, Colour] = _read_colours()
"""Colours by code, in the order of the standard's table."""

_CODE_BY_WORD = {colour.name.upper(): code for code, colour in COLOURS.items()} | {"GRAY": "GY"}
_EXPECTED = "IEC 60757 letters, base or base/tracer, such as RD or RD/BK (" + " ".join(COLOURS) + ")"


def parse_colour(text: str) -> str:
    """Read a wire colour.

    Parameters
    ----------
    text : str
        Codes or English names, upper or lower case, base alone or base and tracer parted by ``/``,
        ``-`` or a space; two codes may also be joined as the standard does (``GNYE``).

    Returns
    -------
    str
        Canonical form: ``RD`` or ``RD/BK``.

    Raises
    ------
    QuantityError
        If a part is no colour of the standard, there are more than two, or both are the same.

    Notes
    -----
    Letters: IEC 60757 (read as GOST 28763-90, which is IEC 757:1983).

    Examples
    --------
    >>> parse_colour("rd/bk"), parse_colour("Green - yellow"), parse_colour("gy")
    ('RD/BK', 'GN/YE', 'GY')
    >>> parse_colour("RD/RD")
    Traceback (most recent call last):
        ...
    circuits.errors.QuantityError: found 'RD/RD', expected a tracer that differs from the base
    """
    words = re.split(r"\s*[/-]\s*|\s+", text.strip().upper())
    if len(words) == 1 and len(words[0]) == 4 and words[0] not in _CODE_BY_WORD:
        words = [words[0][:2], words[0][2:]]
    codes = [_CODE_BY_WORD.get(word, word) for word in words]
    if len(codes) > 2 or any(code not in COLOURS for code in codes):
        raise QuantityError(f"found {text!r}, expected {_EXPECTED}")
    if len(codes) == 2 and codes[0] == codes[1]:
        raise QuantityError(f"found {text!r}, expected a tracer that differs from the base")
    return "/".join(codes)


def colour_name(colour: str) -> str:
    """A colour in words: ``red with black tracer``.

    Raises
    ------
    QuantityError
        If it is no colour of the standard.

    Examples
    --------
    >>> colour_name("RD/BK")
    'red with black tracer'
    """
    base, _, tracer = parse_colour(colour).partition("/")
    return COLOURS[base].name + (f" with {COLOURS[tracer].name} tracer" if tracer else "")
