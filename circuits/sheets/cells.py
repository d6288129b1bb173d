"""One cell: text to value and back. Every reader raises ``CellError`` that says what was expected."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from enum import StrEnum
from typing import TypeVar

from circuits.colours import parse_colour
from circuits.errors import LoomwrightError, QuantityError
from circuits.sheets.limits import MAX_CELL_CHARACTERS, MIN_QUANTITY
from circuits.units import exact, parse_voltage_v
from circuits.wire_sizes import parse_size

_Choice = TypeVar("_Choice", bound=StrEnum)

YES_NO = ("yes", "no")
_YES = frozenset(("yes", "y", "true", "1"))
_NO = frozenset(("no", "n", "false", "0"))
_LIST_TOKEN = re.compile(r"\\[;\\\s]|.", re.DOTALL)
_LIST_SPECIAL = re.compile(r"[;\\]")
_ALLOWED_CONTROLS = frozenset("\t\n\r")


class CellError(LoomwrightError, ValueError):
    """A cell that cannot be read. ``expected`` says what would have been accepted."""

    def __init__(self, expected: str) -> None:
        self.expected = expected
        super().__init__(f"expected {expected}")


def read_text(text: str) -> str:
    """Text as it stands, if it can be shown, stored and printed.

    Examples
    --------
    >>> read_text("left headlamp")
    'left headlamp'
    """
    if len(text) > MAX_CELL_CHARACTERS:
        raise CellError(f"at most {MAX_CELL_CHARACTERS} characters, not {len(text)}")
    if not text.isprintable() and any(_is_unprintable(character) for character in text):
        raise CellError("text without control characters")
    return text


def _is_unprintable(character: str) -> bool:
    code = ord(character)
    is_control = code < 0x20 or 0x7F <= code < 0xA0
    is_no_character = 0xD800 <= code < 0xE000 or code in (0xFFFE, 0xFFFF)
    return (is_control and character not in _ALLOWED_CONTROLS) or is_no_character


def quantity(
    parse: Callable[[str], float], most: float, *, unit: str, least: float | None = None
) -> Callable[[str], float]:
    """Reader of a quantity from ``least`` (None: above 0) to ``most``, in the unit used inside.

    Examples
    --------
    >>> from circuits.units import parse_current_a
    >>> quantity(parse_current_a, 10_000.0, unit="A")("380 mA")
    0.38
    """
    lower = MIN_QUANTITY if least is None else least
    bounds = f"{'above 0' if least is None else f'{least:g}'} to {most:g} {unit}"

    def read(text: str) -> float:
        try:
            value = parse(text)
        except QuantityError as error:
            raise CellError(_expected(error)) from None
        if not lower <= value <= most:
            raise CellError(f"a figure from {bounds}")
        return value

    return read


def read_system_v(text: str) -> float:
    """System voltage [V]: 12 or 24."""
    try:
        value = parse_voltage_v(text)
    except QuantityError:
        value = 0.0
    if value not in (12.0, 24.0):
        raise CellError("12 or 24")
    return value


def _expected(error: QuantityError) -> str:
    return error.expected or str(error).partition("expected ")[2] or str(error)


def choice(values: type[_Choice]) -> Callable[[str], _Choice]:
    """Reader of one word out of a list, whatever its case, ``_`` and ``-`` standing for a space.

    Examples
    --------
    >>> from circuits.plan import Covering
    >>> choice(Covering)("Split-Loom").value
    'split loom'
    """
    by_word = {_word(member.value): member for member in values}
    words = [member.value for member in values]

    def read(text: str) -> _Choice:
        found = by_word.get(_word(text))
        if found is None:
            raise CellError(f"one of {', '.join(words)}{hint(text, words)}")
        return found

    return read


def _word(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


def hint(text: str, known: Sequence[str]) -> str:
    """``; did you mean x?`` where a known word comes close, else nothing.

    Examples
    --------
    >>> hint("bade", ["blade", "glass"])
    '; did you mean blade?'
    """
    close = difflib.get_close_matches(text.strip().casefold()[:60], known, n=1, cutoff=0.7)
    return f"; did you mean {close[0]}?" if close else ""


def read_yes_no(text: str) -> bool:
    """Yes or no.

    Examples
    --------
    >>> read_yes_no("Yes"), read_yes_no("0")
    (True, False)
    """
    word = text.strip().casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise CellError("yes or no")


def write_yes_no(value: bool) -> str:
    """``yes`` or ``no``."""
    return "yes" if value else "no"


def read_size(text: str) -> str:
    """Canonical label of a wire size."""
    try:
        return parse_size(text)
    except QuantityError as error:
        raise CellError(_expected(error)) from None


def read_colour(text: str) -> str:
    """Canonical letters of a wire colour."""
    try:
        return parse_colour(text)
    except QuantityError as error:
        raise CellError(_expected(error)) from None


def read_places(text: str) -> tuple[str, ...]:
    r"""Places parted by ``;``. A backslash takes the next ``;``, backslash or outer space as itself.

    Examples
    --------
    >>> read_places("left lamp; right lamp")
    ('left lamp', 'right lamp')
    >>> read_places(r"bay 1\;2; bay 3")
    ('bay 1;2', 'bay 3')
    """
    items: list[list[str]] = [[]]
    for piece in _LIST_TOKEN.findall(read_text(text)):
        if piece == ";":
            items.append([])
        else:
            items[-1].append(piece)
    if len(items) > 1 and not _place(items[-1]):
        items.pop()  # a closing ``;`` is no further place
    places = tuple(_place(item) for item in items)
    if not all(places):
        raise CellError("places parted by ; with none left empty")
    return places


def _place(tokens: list[str]) -> str:
    start, end = 0, len(tokens)
    while start < end and tokens[start].isspace():
        start += 1
    while end > start and tokens[end - 1].isspace():
        end -= 1
    return "".join(token[-1] for token in tokens[start:end])


def write_places(places: tuple[str, ...]) -> str:
    r"""Places as ``read_places`` reads them back.

    Examples
    --------
    >>> print(write_places(("left lamp", "bay 1;2")))
    left lamp; bay 1\;2
    """
    return "; ".join(_escaped(place) for place in places)


def _escaped(place: str) -> str:
    escaped = _LIST_SPECIAL.sub(r"\\\g<0>", place)
    if place[:1].isspace():
        escaped = "\\" + escaped
    if len(place) > 1 and place[-1].isspace():
        escaped = escaped[:-1] + "\\" + escaped[-1]
    return escaped


def write_number(value: float) -> str:
    """Digits that read back as exactly this number."""
    return exact(value)


def write_milliohm(value_ohm: float) -> str:
    """Milliohms that read back as exactly this resistance."""
    return exact(value_ohm, 3)
