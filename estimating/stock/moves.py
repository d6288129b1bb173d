"""One movement entered by hand: which service it is."""

from __future__ import annotations

from dataclasses import replace

from estimating.stock.models import HoldingRow, MaterialRow
from estimating.stock.services import Act, StockError, count, issue, scrap, take_in


def move(*, material: MaterialRow, what: str, holding: HoldingRow | None, amount: int, bin_name: str, act: Act) -> None:
    """Enters a movement.

    Parameters
    ----------
    material : MaterialRow
    what : str
        ``receipt``, ``issue``, ``return``, ``count`` or ``scrap``.
    holding : HoldingRow or None
        None only for what comes in.
    amount : int
        Pieces or millimetres; of a count what is there now.
    bin_name : str
        For what comes in; empty = the usual one.
    act : Act

    Raises
    ------
    StockError
    """
    if what in ("receipt", "return"):
        act = replace(act, job=act.job if what == "return" else "")
        take_in(material=material, amount=amount, act=act, bin_name=bin_name or None)
        return
    if holding is None:
        raise StockError(f"{material}: which roll or bin is expected")
    if what == "issue":
        issue(holding=holding, amount=amount, act=act)
    elif what == "count":
        count(holding=holding, found=amount, act=replace(act, job=""))
    else:
        scrap(holding=holding, amount=amount, act=replace(act, job=""))
