"""How the shop buys and cuts: the stored row as the values that buying takes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from estimating.buying.kinds import Kind, SubstituteRule
from estimating.buying.week import Settings
from estimating.purchasing.models import BuyingRow
from estimating.stock.kinds import MM_PER_M

ONLY_ROW = 1


def buying_row() -> BuyingRow:
    """The stored rules, or a row (not stored) with the defaults."""
    return BuyingRow.objects.filter(pk=ONLY_ROW).first() or BuyingRow(pk=ONLY_ROW)


def settings_of(row: BuyingRow, currency: str) -> Settings:
    """Settings of one planning."""
    return Settings(
        currency=currency,
        blade_loss_m=row.blade_loss_mm / MM_PER_M,
        min_useful_offcut_m=row.min_offcut_mm / MM_PER_M,
        time_limit_s=float(row.time_limit_s),
        holidays=frozenset(date.fromisoformat(line) for line in lines_of(row.holidays)),
        workdays=frozenset(int(digit) - 1 for digit in row.workdays),
    )


def rule_of(row: BuyingRow, kinds: Iterable[Kind]) -> SubstituteRule:
    """What may stand for what. A wire of any colour is served by every colour."""
    any_colour = {("", kind.colour) for kind in kinds if kind.colour}
    return SubstituteRule(
        colours=frozenset(pairs_of(row.colours)) | any_colour,
        is_thicker_allowed=row.may_be_thicker,
        max_area_ratio=row.max_area_ratio,
        must_fit_terminal=row.must_fit_terminal,
        pairs=frozenset(pairs_of(row.pairs)),
    )


def lines_of(text: str) -> list[str]:
    r"""Lines with something on them.

    Examples
    --------
    >>> lines_of(" a\n\nb ")
    ['a', 'b']
    """
    return [line.strip() for line in text.splitlines() if line.strip()]


def pairs_of(text: str) -> list[tuple[str, str]]:
    r"""Pairs of a text, one a line.

    Raises
    ------
    ValueError
        Where a line is no pair.

    Examples
    --------
    >>> pairs_of("GN > GN/WH\nRD > RD/WH")
    [('GN', 'GN/WH'), ('RD', 'RD/WH')]
    """
    pairs = []
    for line in lines_of(text):
        wanted, sign, given = (word.strip() for word in line.partition(">"))
        if not (wanted and sign and given):
            raise ValueError(f"{line!r}: wanted > used instead is expected")
        pairs.append((wanted, given))
    return pairs
