"""Rules on contacts: is each switch and relay rated for the kind of load that it makes and breaks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from circuits.electrical.added_relays import relays_that_cure
from circuits.electrical.contacts import Contact, ContactLoads, contacts, smallest_relay_a
from circuits.electrical.supply_checks import whole_a
from circuits.figures import format_current
from circuits.finding_codes import finding
from circuits.findings import Finding
from circuits.sized import SizedPlan


def contact_findings(sized: SizedPlan) -> Iterator[Finding]:
    """Every finding on the contacts of a plan.

    Parameters
    ----------
    sized : SizedPlan
    """
    loads = ContactLoads(sized)
    for contact in contacts(sized, loads):
        if contact.holds:
            continue
        if contact.is_relay:
            yield relay_over_rating(contact, sized)
        else:
            yield switch_over(contact, loads)


def switch_over(contact: Contact, loads: ContactLoads) -> Finding:
    """switch-over-rating where the plan states the rating, else switch-over-usual: more is asked than it bears."""
    needed, rated = format_current(contact.needed_a), format_current(contact.rated_a or 0.0)
    kinds = tuple(dict.fromkeys(load.load for load in contact.loads))
    kind = kinds[0] if len(kinds) == 1 else "mixed"
    at = f" ({contact.position})" if contact.position else ""
    relays = relays_that_cure(contact, loads)
    return finding(
        "switch-over-rating" if contact.is_stated else "switch-over-usual",
        next(iter(relays), contact.circuits[0]),
        f"{contact.device}{at} needs a contact of {needed} "
        f"for its {kind} load, and {'has' if contact.is_stated else 'is taken to have'} {rated}",
        figure=needed,
        limit=rated,
        cure=_with_relays(relays, contact),
    )


def _with_relays(relays: Mapping[str, str], contact: Contact) -> str:
    other = f"fit a switch rated {whole_a(contact.needed_a)} and state it in switch_a"
    if not relays:
        return f"F{other[1:]}."
    adding = " and ".join(f"a relay for {name} at {place}" for name, place in relays.items())
    return f"Add {adding}, or {other}."


def relay_over_rating(contact: Contact, sized: SizedPlan) -> Finding:
    """relay-over-rating: more is asked of a relay than it bears, or than any does."""
    needed, name = format_current(contact.needed_a), contact.circuits[0]
    larger_a = smallest_relay_a(contact.needed_a, sized.wiring.plan.vehicle.system_v)
    limit = "no usual relay does" if contact.rated_a is None else format_current(contact.rated_a)
    cure = "Split the circuit over several relays."
    if larger_a:
        cure = f"Fit a relay of {format_current(larger_a)} and state it in relay_a, or split the circuit."
    return finding(
        "relay-over-rating",
        name,
        f"{contact.device} needs a contact of {needed} for its {contact.loads[0].load} load: {limit}",
        figure=needed,
        limit=limit,
        cure=cure,
    )
