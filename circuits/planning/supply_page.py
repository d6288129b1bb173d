"""What the supply page shows: feeds, supply against load, the parked vehicle, the starter, and every contact."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.drawings.balance import balance_drawing
from circuits.drawings.shapes import Drawing
from circuits.electrical.added_relays import relays_that_cure, with_relays
from circuits.electrical.contact_checks import contact_findings
from circuits.electrical.contacts import SUPPRESSION, Contact, ContactLoads, contacts
from circuits.electrical.duties import Case
from circuits.electrical.feeds import Feed
from circuits.electrical.link_wire import LinkWire
from circuits.electrical.supply import Supply, supply
from circuits.electrical.supply_checks import supply_findings
from circuits.findings import Finding
from circuits.planning.added_prices import Added, added_price
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class Mean:
    """What is drawn on average in one case, in words and amperes."""

    case: str
    current_a: float


@dataclass(frozen=True, slots=True)
class FeedLine:
    """One line of the tree of feeds."""

    feed: Feed
    link: LinkWire | None
    cells: tuple[Mean, ...]

    @property
    def indent(self) -> str:
        """How far in it stands, as a class name."""
        return f"step-{min(self.feed.depth, 4)}"


@dataclass(frozen=True, slots=True)
class Relays:
    """Relays that would let every switch of some circuits hold, and what they cost."""

    circuits: tuple[str, ...]
    places: tuple[str, ...]
    price: Added | None


@dataclass(frozen=True, slots=True)
class SupplyShown:
    """All that the page shows."""

    supply: Supply
    cases: tuple[Case, ...]
    drawing: Drawing
    lines: tuple[FeedLine, ...]
    contacts: tuple[Contact, ...]  # those that do not hold first
    relays: Relays | None
    findings: tuple[Finding, ...]
    suppression: str


def supply_shown(sized: SizedPlan, *, with_prices: bool = False) -> SupplyShown:
    """The supply of a plan for its page.

    Parameters
    ----------
    sized : SizedPlan
    with_prices : bool
        True for those who may see what the relays cost.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> shown = supply_shown(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))))
    >>> [(line.feed.name, line.cells[0].current_a) for line in shown.lines], shown.relays
    ([('battery', 5.0)], None)
    """
    found = supply(sized)
    return SupplyShown(
        supply=found,
        cases=tuple(Case),
        drawing=balance_drawing(found.balances),
        lines=tuple(
            FeedLine(feed, found.links.get(feed.name), tuple(Mean(case.value, feed.mean_a[case]) for case in Case))
            for feed in found.feeds
        ),
        contacts=tuple(sorted(contacts(sized), key=lambda contact: contact.holds)),
        relays=relays_priced(sized, with_price=with_prices),
        findings=(*supply_findings(sized), *contact_findings(sized)),
        suppression=SUPPRESSION,
    )


def relays_priced(sized: SizedPlan, circuit: str = "", *, with_price: bool = False) -> Relays | None:
    """Relays for the switches that are not rated for their loads, with their price; None where none help.

    Parameters
    ----------
    sized : SizedPlan
    circuit : str
        Only for the switches of that circuit; empty = for all.
    with_price : bool
        False leaves the price out.
    """
    loads = ContactLoads(sized)
    added: dict[str, str] = {}
    for contact in contacts(sized, loads):
        if not circuit or circuit in contact.circuits:
            added |= relays_that_cure(contact, loads)
    if not added:
        return None
    price = added_price(sized, with_relays(sized.wiring.plan, added)) if with_price else None
    return Relays(tuple(added), tuple(dict.fromkeys(added.values())), price)
