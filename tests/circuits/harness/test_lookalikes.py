"""Look-alikes: found where bodies can be swapped, ranked by what follows, gone once a cure is applied."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.sizing import size_plan
from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.harness.crossing import DEAD, FEED_TO_FEED, LIVE_TO_GROUND, SAFETY, Consequence, Joined
from circuits.harness.lookalike_cures import CureKind, cures_of
from circuits.harness.lookalikes import LookAlike, look_alikes
from circuits.patterns import expand
from circuits.plan import Plan
from tests.circuits.cast import DIP, HORN, TAIL, only
from tests.circuits.connected import connected, with_cavity, with_connector

SIDE = replace(TAIL, name="side lamps", section="front", load_at=("left lamp", "right lamp"))
BEAM = replace(DIP, safety=False)

BODIES = (Connector("C1", "left lamp", "lamp 2", ways=2), Connector("C2", "left lamp", "lamp 2", ways=2))
CAVITIES = tuple(
    Cavity(name, label, circuit, holds)
    for name, circuit in (("C1", "dip beam"), ("C2", "side lamps"))
    for label, holds in (("1", Holds.IN), ("2", Holds.RETURN))
)
PLAN = replace(only(BEAM, SIDE, HORN), connectors=BODIES, cavities=CAVITIES)
"""Two lamps side by side on the same body."""


def found(plan: Plan, **how: float) -> tuple[LookAlike, ...]:
    return look_alikes(expand(plan), **how)  # type: ignore[arg-type]


def names(plan: Plan, **how: float) -> list[tuple[str, str]]:
    return [(one.first.name, one.second.name) for one in found(plan, **how)]


def test_two_lamps_side_by_side_on_the_same_body_look_alike_and_it_is_told_what_would_meet():
    [one] = found(PLAN)
    assert [(met.near.connector, met.near.cavity, met.near.circuit, met.far.circuit) for met in one.joined] == [
        ("C1", "1", "dip beam", "side lamps"),
        ("C1", "2", "dip beam", "side lamps"),
        ("C2", "1", "side lamps", "dip beam"),
        ("C2", "2", "side lamps", "dip beam"),
    ]
    assert all(met.near.wire and met.far.device for met in one.joined)
    assert one.consequence.rank == FEED_TO_FEED


@pytest.mark.parametrize(
    "changed",
    [{"series": "lamp 3"}, {"series": ""}, {"ways": 3}, {"half": Half.PIN}, {"half": Half.LEADS}, {"place": "nose"}],
    ids=str,
)
def test_what_differs_or_lies_out_of_reach_does_not_look_alike(changed: dict[str, object]):
    assert names(with_connector(PLAN, "C2", **changed)) == []


def test_keys_part_them_only_where_both_have_one_and_they_differ():
    one_key = with_connector(PLAN, "C1", keying="A")
    assert names(one_key) == [("C1", "C2")]
    assert names(with_connector(one_key, "C2", keying="A")) == [("C1", "C2")]
    assert names(with_connector(one_key, "C2", keying="B")) == []


def test_a_short_way_apart_they_look_alike_as_far_as_leads_reach():
    apart = with_connector(PLAN, "C2", place="nose")
    assert names(apart, reach_m=0.5) == [("C1", "C2")]
    assert names(apart, reach_m=0.49) == []


def test_left_and_right_of_one_circuit_may_swap():
    twins = tuple(replace(cavity, circuit="dip beam") for cavity in CAVITIES)
    assert names(replace(PLAN, cavities=twins)) == []


def test_two_pairs_at_one_place_look_alike_across_but_not_each_with_its_own():
    pairs = tuple(
        Connector(f"P{number}{half}", "bulkhead", "sealed", half, 4, in_loom=True, mates_with=f"P{number}{mate}")
        for number in (1, 2)
        for half, mate in ((Half.SOCKET, Half.PIN), (Half.PIN, Half.SOCKET))
    )
    cavities = (Cavity("P1socket", "1", "horn"), Cavity("P2socket", "1", "dip beam"))
    assert names(replace(PLAN, connectors=pairs, cavities=cavities)) == [("P1socket to P1pin", "P2socket to P2pin")]


def test_the_gravest_consequence_comes_first():
    def rank(plan: Plan) -> float:
        [one] = found(plan)
        return one.consequence.rank

    crossed = with_cavity(with_cavity(PLAN, "C2", "1", holds=Holds.RETURN), "C2", "2", holds=Holds.IN)
    unsafe = replace(PLAN, circuits=(replace(BEAM, safety=True), *PLAN.circuits[1:]))
    dead = with_cavity(with_cavity(PLAN, "C2", "1", circuit=""), "C2", "2", circuit="")
    assert (rank(crossed), rank(unsafe), rank(PLAN), rank(dead)) == (LIVE_TO_GROUND, SAFETY, FEED_TO_FEED, DEAD)
    third = replace(
        crossed,
        connectors=(*BODIES, Connector("C3", "left lamp", "lamp 2", ways=2)),
        cavities=(*crossed.cavities, Cavity("C3", "1", "side lamps")),
    )
    assert [one.consequence.rank for one in found(third)] == sorted(
        (one.consequence.rank for one in found(third)), reverse=True
    )


def test_another_judge_may_rank_them():
    def judge(joined: tuple[Joined, ...]) -> Consequence:
        return Consequence(len(joined), "counted")

    assert [one.consequence for one in look_alikes(expand(PLAN), judge)] == [Consequence(4, "counted")]


@pytest.mark.parametrize("kind", list(CureKind))
def test_each_cure_does_what_it_says_when_applied(kind: CureKind):
    [one] = found(PLAN)
    [cure] = [cure for cure in cures_of(one, PLAN) if cure.kind is kind]
    after = found(cure.applied(PLAN))
    if cure.removes:
        assert after == ()
    else:
        assert kind is CureKind.TAG
        assert after[0].consequence.rank < one.consequence.rank
        assert cures_of(after[0], cure.applied(PLAN))[-1].kind is not CureKind.TAG


def test_a_swap_that_makes_new_look_alikes_is_not_offered():
    """A third body the other way round would fit the swapped one."""
    bodies = (*BODIES, Connector("C3", "left lamp", "lamp 2", Half.PIN, 2))
    plan = replace(PLAN, connectors=bodies, cavities=(*CAVITIES, Cavity("C3", "1", "dip beam")))
    [one] = found(plan)
    assert CureKind.SWAP not in {cure.kind for cure in cures_of(one, plan)}


@st.composite
def crowded_plans(draw: st.DrawFn) -> Plan:
    """Bodies of one series crowded at two places, some keyed, some in the loom, with any circuits in them."""
    bodies, cavities = [], []
    for number in range(draw(st.integers(2, 5))):
        place, half = draw(st.sampled_from(("left lamp", "left lamp", "nose"))), draw(st.sampled_from(Half))
        key, in_loom = draw(st.sampled_from(("", "", "A", "B"))), draw(st.booleans())
        bodies.append(Connector(f"C{number}", place, "lamp 2", half, 2, key, in_loom=in_loom))
        held = draw(st.lists(st.sampled_from([circuit.name for circuit in PLAN.circuits]), max_size=2))
        cavities += [Cavity(f"C{number}", str(label), circuit) for label, circuit in enumerate(held)]
    return replace(PLAN, connectors=tuple(bodies), cavities=tuple(cavities))


@given(crowded_plans())
def test_every_cure_that_says_so_removes_any_look_alike(plan: Plan):
    for one in look_alikes(expand(plan)):
        for cure in cures_of(one, plan):
            left = names(cure.applied(plan))
            assert ((one.first.name, one.second.name) in left) is not cure.removes


def test_a_plan_tells_its_look_alikes_and_the_key_of_the_cure_removes_them():
    def codes(plan: Plan) -> list[str]:
        return [one.code for one in size_plan(plan).findings if one.code.startswith("look-alike")]

    unsafe = replace(PLAN, circuits=(replace(BEAM, safety=True), *PLAN.circuits[1:]))
    assert (codes(PLAN), codes(unsafe)) == (["look-alike"], ["look-alike-danger"])
    [one] = [one for one in size_plan(PLAN).findings if one.code == "look-alike"]
    assert one.cure == "Key C1 as A and C2 as B."
    assert codes(with_connector(with_connector(PLAN, "C1", keying="A"), "C2", keying="B")) == []
    assert codes(connected()) == []


def test_a_row_of_alike_bodies_is_one_finding_with_a_key_for_each():
    bodies = (*BODIES, Connector("C3", "left lamp", "lamp 2", ways=2))
    plan = replace(PLAN, connectors=bodies, cavities=(*CAVITIES, Cavity("C3", "1", "horn")))
    [one] = [one for one in size_plan(plan).findings if one.code.startswith("look-alike")]
    assert one.message.startswith("C1, C2 and C3 at left lamp look alike: if C1 and C2 are swapped, ")
    assert (one.figure, one.cure) == ("3 of lamp 2", "Key C1 as A, C2 as B and C3 as C.")
    keyed = replace(plan, connectors=tuple(replace(b, keying=k) for b, k in zip(bodies, "ABC", strict=True)))
    assert found(keyed) == ()
