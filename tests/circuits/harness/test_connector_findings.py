"""Each finding about connectors: told with its figure, and gone once its cure is applied."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from circuits.electrical.sizing import size_plan
from circuits.findings import Finding
from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.plan import Plan
from tests.circuits.connected import BODIES, CAVITIES, connected, with_cavity, with_connector, without_cavity

OWN = (
    "connector-", "mate-", "pair-", "cavity-", "cavities-", "conductor-", "lead-", "contact-",
)  # fmt: skip


def found(plan: Plan) -> list[Finding]:
    return [one for one in size_plan(plan).findings if one.code.startswith(OWN)]


SOUND = connected(
    connectors=(*BODIES, Connector("C8", "dash", "switch 1", ways=2)),
    cavities=(*CAVITIES, Cavity("C8", "1", "horn"), Cavity("C8", "2", "horn", Holds.OUT)),
)
"""The connected plan with a body on the horn's switch as well."""

LEADS = replace(
    SOUND,
    connectors=(*SOUND.connectors, Connector("U1", "dash", half=Half.LEADS)),
    cavities=(*SOUND.cavities, Cavity("U1", "supply", "gauges"), Cavity("U1", "ground", "gauges", Holds.RETURN),
              Cavity("U1", "dimmer", notes="not used: no dimmer fitted")),
)  # fmt: skip


def but(name: str, **changed: object) -> Callable[[Plan], Plan]:
    return lambda plan: with_connector(plan, name, **changed)


def cavity(connector: str, at: str, /, **changed: object) -> Callable[[Plan], Plan]:
    return lambda plan: with_cavity(plan, connector, at, **changed)


def added(*cavities: Cavity) -> Callable[[Plan], Plan]:
    return lambda plan: replace(plan, cavities=plan.cavities + cavities)


WRONG: dict[str, tuple[Callable[[Plan], Plan], Callable[[Plan], Plan], tuple[str, str]]] = {
    "connector-place-unknown": (but("C7", place="attic"), but("C7", place="nose"), ("attic", "")),
    "mate-unknown": (but("C3", mates_with="C99"), but("C3", mates_with=""), ("C99", "")),
    "mate-taken": (but("C3", mates_with="C1", place="bulkhead"), but("C3", mates_with="", place="tail"), ("C1", "C2")),
    "mate-elsewhere": (but("C3", mates_with="C7"), but("C3", mates_with=""), ("nose", "tail")),
    "pair-mismatch": (but("C1", half=Half.SOCKET), but("C1", half=Half.PIN), ("socket", "pin and socket")),
    "pair-crossed": (
        cavity("C1", "2", label="4"),
        cavity("C1", "4", label="2"),
        ("4", "2"),
    ),
    "cavity-connector-unknown": (
        added(Cavity("C99", "1")),
        lambda plan: without_cavity(plan, "C99", "1"),
        ("C99", ""),
    ),
    "cavity-circuit-unknown": (
        added(Cavity("C3", "4", "tale lamps")),
        cavity("C3", "4", circuit=""),
        ("tale lamps", ""),
    ),
    "cavities-over-ways": (but("C4", ways=1), but("C4", ways=2), ("2", "1")),
    "cavity-listed-twice": (added(Cavity("C3", "2", "tail lamps")), cavity("C3", "2", circuit=""), ("2", "")),
    "cavity-without-conductor": (
        added(Cavity("C4", "G", "dip beam", Holds.T85)),
        cavity("C4", "G", circuit=""),
        ("G", ""),
    ),
    "conductor-without-cavity": (
        lambda plan: without_cavity(plan, "C4", "31"),
        added(Cavity("C4", "31", "dip beam", Holds.RETURN)),
        ("left lamp", ""),
    ),
    "pair-not-passed": (added(Cavity("C3", "4", "horn")), cavity("C3", "4", circuit=""), ("tail", "")),
    "connector-not-reached": (added(Cavity("C4", "x", "gauges")), cavity("C4", "x", circuit=""), ("left lamp", "")),
    "lead-not-married": (
        added(Cavity("U1", "illumination")),
        cavity("U1", "illumination", notes="ends under tape"),
        ("illumination", ""),
    ),
    "contact-wire-range": (
        but("C7", max_area_mm2=1.5),
        but("C7", max_area_mm2=2.5),
        ("14 AWG (2.08 mm²)", "up to 1.5 mm²"),
    ),
    "contact-over-rating": (but("C7", contact_a=3.0), but("C7", contact_a=8.0), ("5 A", "3 A")),
}


def test_a_sound_plan_of_connectors_has_none_of_these_findings():
    assert found(SOUND) == []
    assert found(LEADS) == []


@pytest.mark.parametrize("code", WRONG)
def test_what_is_wrong_is_told_with_its_figure_and_the_cure_removes_it(code: str):
    wrong, cured, (figure, limit) = WRONG[code]
    plan = wrong(LEADS)
    told = [one for one in found(plan) if one.code == code]
    assert told
    assert {(one.figure, one.limit) for one in told} == {(figure, limit)}
    assert all(one.cure for one in told)
    assert [one for one in found(cured(plan)) if one.code == code] == []


def test_a_conductor_that_passes_a_pair_without_a_cavity_is_named_by_its_wire():
    plan = replace(
        SOUND, cavities=tuple(c for c in SOUND.cavities if c.connector not in ("C1", "C2") or c.label != "3")
    )
    [one] = found(plan)
    assert (one.code, one.wire, one.figure) == ("conductor-without-cavity", "horn/4", "bulkhead")


def test_mated_bodies_of_different_series_ways_or_keying_do_not_mate():
    for changed in ({"series": "round 4"}, {"ways": 4}):
        assert [one.code for one in found(with_connector(SOUND, "C1", **changed))] == ["pair-mismatch"]
    keyed = with_connector(with_connector(SOUND, "C1", keying="A"), "C2", keying="B")
    assert [one.code for one in found(keyed)] == ["pair-mismatch"]


def test_facing_cavities_that_hold_different_conductors_are_crossed():
    swapped = with_cavity(with_cavity(SOUND, "C1", "1", circuit="horn"), "C1", "2", circuit="dip beam")
    assert "pair-crossed" in {one.code for one in found(swapped)}


def test_every_code_of_connectors_is_tested():
    assert {one.code for wrong, _, _ in WRONG.values() for one in found(wrong(LEADS))} == WRONG.keys()
