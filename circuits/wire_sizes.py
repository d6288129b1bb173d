"""Wire sizes as people write them: gauges and square millimetres, brought to one label."""

from __future__ import annotations

import re
from decimal import Decimal

from circuits.figures import plain
from circuits.units import MAX_TEXT, finite_float, refusal, split_number, tidy

_SIZE_EXPECTED = "a wire size such as 14 AWG, 1/0 AWG or 2.5 mm²"
_SQUARE_MM = frozenset(("mm2", "mm^2", "mm", "sq mm", "sq.mm", "sqmm", "qmm"))
_GAUGE = re.compile(r"#? ?(?:(0{2,4})|([1-4]) ?/ ?0|([0-9]{1,2})) ?(?:awg|ga|gauge|g)\.?")
_AREA = re.compile(r"([0-9]{1,4}(?:[.,][0-9]{1,4})?|[.,][0-9]{1,4}) ?(?:mm2|mm\^2|mm|sq\.? ?mm|sqmm|qmm)")


def parse_area_mm2(text: str) -> float:
    """Cross-section of a conductor [mm²], from square millimetres.

    Raises ``QuantityError``. A bare number is refused: it could be a gauge.

    Examples
    --------
    >>> parse_area_mm2("2.5 mm²"), parse_area_mm2("0,35 mm2")
    (2.5, 0.35)
    """
    number, unit = split_number(text, _SIZE_EXPECTED)
    if unit.lower() not in _SQUARE_MM:
        raise refusal(text, _SIZE_EXPECTED)
    return finite_float(number, text, _SIZE_EXPECTED)


def parse_size(text: str) -> str:
    """Canonical label of a wire size: ``14 AWG``, ``1/0 AWG`` or ``2.5 mm²``.

    Whether a table holds that size is not asked here. Raises ``QuantityError``.

    Examples
    --------
    >>> parse_size("14awg"), parse_size("00 AWG"), parse_size("2,5mm²"), parse_size("2.50 mm2")
    ('14 AWG', '2/0 AWG', '2.5 mm²', '2.5 mm²')
    """
    spelt = tidy(text).lower() if len(text) <= MAX_TEXT else ""
    gauge, area = _GAUGE.fullmatch(spelt), _AREA.fullmatch(spelt)
    if gauge and gauge[3] and int(gauge[3]) <= 40:
        return f"{int(gauge[3]) or '1/0'} AWG"
    if gauge and not gauge[3]:
        return f"{gauge[2] or len(gauge[1])}/0 AWG"
    if area:
        square_mm = Decimal(area[1].replace(",", "."))
        if square_mm > 0:
            return f"{plain(square_mm)} mm²"
    raise refusal(text, _SIZE_EXPECTED)
