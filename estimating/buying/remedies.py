"""What cannot be met, why, and the least change that would cure it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimating.buying.kinds import Measure, why_unfit
from estimating.buying.purchase import Remedy, Unmet
from estimating.buying.reach import Reach, Source
from estimating.buying.week import Need

NEVER = ("thinner", "lower temperature class", "another sort", "not on the shop's list")
"""Beginnings of reasons that no rule of a shop lifts; of parts other than wire nothing tells that one fits."""


def unmet_of(reach: Reach, missing: dict[str, int]) -> tuple[Unmet, ...]:
    """What stays unmet, with remedies: least change of date first, then the cheapest.

    Parameters
    ----------
    reach : Reach
    missing : dict of str to int
        Atoms of each need that nothing can meet.

    Returns
    -------
    tuple of Unmet
        By date, then kind.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from datetime import date
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.reach import reach_of
    >>> week = example_week()
    >>> late = replace(week, needs=(replace(week.needs[-1], needed_by=date(2026, 3, 2)),))
    >>> unmet_of(reach_of(late), {"relays": 6})[0].remedies[0].text
    'Move the date by 1 day to 2026-03-03: then North delivers (22.80 EUR).'
    """
    needs = sorted(
        (need for need in reach.week.needs if missing.get(need.ref)), key=lambda n: (n.needed_by, n.kind, n.ref)
    )
    return tuple(_unmet(reach, need, missing[need.ref]) for need in needs)


def _unmet(reach: Reach, need: Need, atoms: int) -> Unmet:
    is_metres = reach.kinds[need.kind].measure is Measure.METRES
    return Unmet(
        need=need.ref,
        kind=need.kind,
        needed_by=need.needed_by,
        count=1 if is_metres else atoms,
        length_m=atoms / 1000 if is_metres else need.length_m,
        reason=_reason(reach, need),
        remedies=_remedies(reach, need, atoms),
    )


def _reason(reach: Reach, need: Need) -> str:
    fitting = [reach.sources[i] for i in reach.by_kind[need.kind] if reach.sources[i].offer]
    long_enough = [source for source in fitting if source.capacity >= reach.size(need)]
    if not fitting:
        return f"no supplier offers {need.kind}"
    if not long_enough:
        longest = max(source.capacity for source in fitting) / 1000
        blade = f" and {reach.blade} mm for the blade" if reach.blade else ""
        return f"the longest roll of {need.kind} offered is {longest:g} m, the cut needs {need.length_m:g} m{blade}"
    soonest = min(source.arrives for source in long_enough)
    return f"{need.kind} arrives on {soonest.isoformat()} at the soonest, it is needed by {need.needed_by.isoformat()}"


def _remedies(reach: Reach, need: Need, atoms: int) -> tuple[Remedy, ...]:
    best: dict[tuple[str, date], Remedy] = {}
    for source in reach.sources:
        remedy = _by(reach, need, atoms, source)
        if remedy is None:
            continue
        key = (remedy.kind, remedy.new_date or need.needed_by)
        if key not in best or _rank(remedy) < _rank(best[key]):
            best[key] = remedy
    if best:
        return tuple(sorted(best.values(), key=_rank))
    wanted = f"{need.length_m:g} m or longer" if need.length_m else "any pack"
    return (Remedy(f"Enter an offer of {need.kind}, {wanted}, that arrives by {need.needed_by.isoformat()}."),)


def _rank(remedy: Remedy) -> tuple[int, Decimal, str]:
    return remedy.move_days, remedy.extra_cost or Decimal(0), remedy.text


def _by(reach: Reach, need: Need, atoms: int, source: Source) -> Remedy | None:
    """The remedy that one offer would be, if any."""
    why = why_unfit(source.kind, reach.kinds[need.kind], reach.week.rule)
    if source.offer is None or why.startswith(NEVER) or source.capacity < reach.size(need):
        return None
    if not why and source.arrives <= need.needed_by:
        return None
    cost = _cost(reach, need, atoms, source)
    money = f"{cost} {reach.week.settings.currency}"
    days = max(0, (source.arrives - need.needed_by).days)
    stands_in = f"Let {source.kind.key} stand in ({why})" if why else ""
    moved = f"ove the date by {days} day{'s' if days > 1 else ''} to {source.arrives.isoformat()}" if days else ""
    change = " and m".join(filter(None, (stands_in, moved))) if stands_in else f"M{moved}"
    return Remedy(
        text=f"{change}: then {source.offer.supplier} delivers ({money}).",
        move_days=days,
        new_date=source.arrives if days else None,
        kind=source.kind.key if why else "",
        extra_cost=cost,
    )


def _cost(reach: Reach, need: Need, atoms: int, source: Source) -> Decimal:
    """Goods for this need alone."""
    assert source.offer is not None
    offer = source.offer
    packs = -(-atoms // (source.capacity // reach.size(need)))
    packs = max(offer.least_packs, -(-packs // offer.multiple) * offer.multiple)
    return packs * offer.price_at(packs)
