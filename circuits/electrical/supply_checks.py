"""Rules on the supply: does each feeder carry what is behind it, is the alternator enough, does the battery last."""

from __future__ import annotations

import math
from collections.abc import Iterator

from circuits.electrical.cranking import cable_that_does, supply_limit
from circuits.electrical.limits import holds
from circuits.electrical.supply import Balance, Supply, supply
from circuits.figures import format_capacity, format_current, format_voltage, significant
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.sized import SizedPlan


def supply_findings(sized: SizedPlan) -> Iterator[Finding]:
    """Every finding on the supply of a plan.

    Parameters
    ----------
    sized : SizedPlan
    """
    found = supply(sized)
    for rule in (feeder_over_fuse, feeder_over_contact, panel_bus_over, charge_lead_small):
        yield from rule(found, sized)
    for rule in (alternator_short, alternator_short_idle):
        yield from rule(found, sized)
    for rule in (battery_flat_soon, key_off_draw, cranking_drop, battery_small_for_starter):
        yield from rule(found, sized)


def whole_a(current_a: float) -> str:
    """A current rounded up to the ampere, so that a person may state it.

    Examples
    --------
    >>> whole_a(67.2), whole_a(67.0)
    ('68 A', '67 A')
    """
    return f"{math.ceil(current_a * (1 - 1e-9)):d} A"


def feeder_over_fuse(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """feeder-over-fuse: what may be on together behind a feeder is more than its fuse carries."""
    for feed in found.feeds:
        if feed.fuse is None or holds(feed.together_a, feed.fuse.rating_a):
            continue
        figure, limit = format_current(feed.together_a), format_current(feed.fuse.rating_a)
        yield finding(
            "feeder-over-fuse",
            feed.name,
            f"{feed.name}: its loads draw {figure} when all that may be on together is on, and its fuse is {limit}",
            figure=figure,
            limit=limit,
            cure=f"State {whole_a(feed.together_a)} as the load of {feed.name}, its fuse left to be chosen, "
            "or feed some of its circuits another way.",
        )


def feeder_over_contact(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """feeder-over-contact: a connector on a feeder's way bears what the plan states, not what may be on together."""
    rated = {one.name: one.contact_a for one in sized.wiring.plan.connectors if one.contact_a is not None}
    wires = {one.circuit.name: one.wires for one in sized.circuits} if rated else {}
    for feed in found.feeds:
        names = {end.connector for one in wires.get(feed.name, ()) for end in (one.wire.start, one.wire.end)}
        passed = sorted(names & rated.keys(), key=lambda name: (rated[name] or 0.0, name))
        if not passed or feed.stated_a is None:
            continue
        limit_a = rated[passed[0]] or 0.0
        if holds(feed.stated_a, limit_a) and not holds(feed.together_a, limit_a):
            figure, limit = format_current(feed.together_a), format_current(limit_a)
            yield finding(
                "feeder-over-contact",
                feed.name,
                f"{feed.name}: its loads draw {figure} together, and a contact of {passed[0]} bears {limit}",
                figure=figure,
                limit=limit,
                cure=f"Lead it past {passed[0]}, use contacts that bear {whole_a(feed.together_a)}, "
                "or feed some of its circuits another way.",
            )


def panel_bus_over(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """panel-bus-over: the bus bar of a panel carries more than the shop counts on."""
    limit_a = sized.rules.supply.panel_bus_a
    for feed in found.feeds if limit_a else ():
        if feed.feeds_fuses_at and not holds(feed.together_a, limit_a):
            figure, limit = format_current(feed.together_a), format_current(limit_a)
            yield finding(
                "panel-bus-over",
                feed.name,
                f"{feed.name}: the bus bar at {feed.feeds_fuses_at[0]} carries {figure}, and {limit} is counted on",
                figure=figure,
                limit=limit,
                cure=f"Feed some of its circuits from another panel, or fit a bus bar for {whole_a(feed.together_a)} "
                "and say so in the build rules.",
            )


def charge_lead_small(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """charge-lead-small: the alternator gives more than its lead is sized for."""
    for lead in found.charge_leads:
        if lead.alternator_a is not None and not holds(lead.alternator_a, lead.stated_a):
            figure, limit = format_current(lead.alternator_a), format_current(lead.stated_a)
            yield finding(
                "charge-lead-small",
                lead.circuit,
                f"{lead.circuit}: the alternator gives {figure}, and its lead is sized for {limit}",
                figure=figure,
                limit=limit,
                cure=f"State {whole_a(lead.alternator_a)} as the load of {lead.circuit}.",
            )


def alternator_short(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """alternator-short: driving, the loads take more than the alternator gives, so that the battery runs down."""
    short = _shortest(found, is_idle=False)
    if short:
        yield _short("alternator-short", short, "Fit an alternator of {} or more hot at cruise, or shed loads.")


def alternator_short_idle(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """alternator-short-idle: idling, the battery gives what the alternator does not."""
    short = _shortest(found, is_idle=True)
    if short:
        yield _short(
            "alternator-short-idle", short, "Fit an alternator of {} or more hot at idle, or shed loads there."
        )


def _shortest(found: Supply, *, is_idle: bool) -> Balance | None:
    short = [one for one in found.balances if one.case.is_idle is is_idle and (one.left_a or 0.0) < -1e-9]
    return min(short, key=lambda one: one.left_a or 0.0) if short else None


def _short(code: str, balance: Balance, cure: str) -> Finding:
    figure, limit = format_current(balance.load_a), format_current(balance.output_a or 0.0)
    message = f"{balance.case.value}: loads take {figure} on average, and the alternator gives {limit}"
    return finding(code, "", message, figure=figure, limit=limit, cure=cure.format(whole_a(balance.load_a)))


def battery_flat_soon(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """battery-flat-soon: parked, the battery is too low to crank before the days are over that the shop asks for."""
    days, least = found.parked.days, sized.rules.supply.least_days
    if days is None or days >= least:
        return
    allowed_a = found.parked.draw_a * days / least
    battery_ah = math.ceil((found.parked.battery_ah or 0.0) * least / days * (1 - 1e-9))
    drawn, after = format_current(found.parked.draw_a), f"{significant(days, 2)} days"
    yield finding(
        "battery-flat-soon",
        found.parked.circuits[0],
        f"parked, {drawn} is drawn by {_and(found.parked.circuits)}: after {after} it no longer cranks",
        figure=after,
        limit=f"{significant(least)} days",
        cure=f"Put a switch into {found.parked.circuits[0]}, feed it from ignition or accessory, keep the draw within "
        f"{format_current(allowed_a)}, or fit a battery of {format_capacity(battery_ah)}.",
    )


def key_off_draw(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """key-off-draw: parked, more is drawn than is usual."""
    usual_a = supply_limit("parked_usual_a")
    if not holds(found.parked.draw_a, usual_a):
        figure, limit = format_current(found.parked.draw_a), format_current(usual_a)
        yield finding(
            "key-off-draw",
            found.parked.circuits[0],
            f"parked, {figure} is drawn by {_and(found.parked.circuits)}; up to {limit} is usual",
            figure=figure,
            limit=limit,
            cure=f"State what {found.parked.circuits[0]} really draws, or feed it from ignition or accessory.",
        )


def cranking_drop(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """cranking-drop: the starter's cables drop more than they should while cranking."""
    for one in found.crankings:
        ways = (
            ("to the starter", one.positive_v, one.max_positive_v),
            ("back from it", one.return_v, one.max_return_v),
        )
        over = [way for way in ways if not holds(way[1], way[2])]
        if not over:
            continue
        way, drop_v, limit_v = max(over, key=lambda way: way[1] / way[2])
        size = cable_that_does(sized, one)
        yield finding(
            "cranking-drop",
            one.circuit,
            f"{one.circuit}: cranking with {format_current(one.current_a)} drops {format_voltage(drop_v)} {way}",
            figure=format_voltage(drop_v),
            limit=format_voltage(limit_v),
            cure=f"Fit {size.label} for {one.circuit}." if size else "Shorten the way, or better the ground of engine.",
        )


def battery_small_for_starter(found: Supply, sized: SizedPlan) -> Iterator[Finding]:
    """battery-small-for-starter: the starter takes more than a load test would of the battery."""
    share = supply_limit("load_test_share")
    for one in found.crankings:
        if one.cca_a is not None and not holds(one.current_a, share * one.cca_a):
            figure, limit = format_current(one.current_a), format_current(share * one.cca_a)
            yield finding(
                "battery-small-for-starter",
                one.circuit,
                f"{one.circuit}: the starter takes {figure}, more than half the battery's cold cranking current",
                figure=figure,
                limit=limit,
                cure=f"Fit a battery of {whole_a(one.current_a / share)} cold cranking current or more.",
            )


def _and(names: tuple[str, ...]) -> str:
    if len(names) <= 3:
        return " and ".join(names)
    return f"{', '.join(names[:3])} and {len(names) - 3} more"
