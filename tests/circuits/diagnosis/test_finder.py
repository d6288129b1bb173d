"""From what is seen to what is wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from circuits.diagnosis.belief import WRONG, chances
from circuits.diagnosis.finder import Finder, FinderError
from circuits.diagnosis.gains import expected_bits
from circuits.diagnosis.priors import prior_shares
from circuits.diagnosis.seen import Act, Question, Seen, Setup
from circuits.diagnosis.tables import Cause, kinds
from circuits.electrical.sizing import size_plan
from circuits.plan import Circuit, FuseFamily, Kind, Plan, Run, Vehicle
from circuits.sheets import load_starter
from tests.circuits.diagnosis.injected import Vehicle as Invented
from tests.circuits.diagnosis.injected import best, search

RUNS = (Run("panel", "boot", 3.0), Run("panel", "battery", 1.0), Run("panel", "dash", 1.0))
PLAN = Plan(
    Vehicle("invented"),
    (),
    RUNS,
    (
        Circuit("tail", "rear", "battery", "panel", "tail lamp", ("boot",), Kind.LAMP, load_w=10.0, switch_at="dash",
                switch="lights:on"),
        Circuit("stop", "rear", "battery", "panel", "stop lamp", ("boot",), Kind.LAMP, load_w=21.0, switch_at="dash",
                switch="stop:on"),
        Circuit("radio", "dash", "battery", "panel", "radio", ("dash",), Kind.ELECTRONICS, load_a=2.0),
    ),
)  # fmt: skip
LIT, BRAKED, BOTH = {"lights": "on"}, {"stop": "on"}, {"lights": "on", "stop": "on"}


@pytest.fixture(scope="module")
def finder():
    return Finder(size_plan(PLAN))


def looked(finder, circuit, answer, positions):
    return Seen(Question(Act.LOOK, finder.loads_of(circuit)[0], "", Setup.of(positions), "a state"), answer)


def share_of(diagnosis, cause, words=""):
    return sum(
        group.share
        for group in diagnosis.groups
        if any(one.cause is cause and words in one.words for together in group.suspects for one in together)
    )


def test_a_dead_lamp_alone_is_its_own_circuit_and_two_are_what_they_share(finder):
    one = [looked(finder, "tail", "off", LIT), looked(finder, "stop", "on", BRAKED)]
    both = [looked(finder, "tail", "off", LIT), looked(finder, "stop", "off", BRAKED)]
    ground = share_of(finder.diagnose(one), Cause.BAD_GROUND, "boot")
    assert ground < 0.05
    shared = finder.diagnose(both)
    assert shared.groups[0].suspects[0][0].cause is Cause.BAD_GROUND
    assert share_of(shared, Cause.DEAD_LOAD) < 0.05


def test_a_lamp_that_glows_through_another_has_lost_its_ground(finder):
    """The classic of the trade: stop lamps feed the tail lamps backwards over the ground they share."""
    seen = [
        looked(finder, "tail", "off", LIT),
        looked(finder, "stop", "off", BRAKED),
        looked(finder, "radio", "on", {}),
    ]
    first = finder.diagnose(seen).groups[0]
    assert "boot" in first.words[0]
    assert first.against == ()


def test_only_what_comes_and_goes_flickers(finder):
    flickers = finder.diagnose([looked(finder, "tail", "flicker", LIT)])
    steady = finder.diagnose([looked(finder, "tail", "off", LIT)])
    assert kinds()[Cause.BLOWN_FUSE].comes_and_goes == 0.0
    assert share_of(flickers, Cause.BLOWN_FUSE) < 0.2 * share_of(steady, Cause.BLOWN_FUSE)
    assert share_of(flickers, Cause.BAD_JOINT) > share_of(steady, Cause.BAD_JOINT)


def test_one_wrong_answer_does_not_hide_the_fault(finder):
    fuse = Question(Act.VOLTS, "tail/1 start", "", Setup.of(LIT), "lights on")
    refit = Question(Act.REFIT, "fuse: tail", "", Setup.of(LIT), "lights on")
    seen = [looked(finder, "tail", "off", LIT), Seen(fuse, 0.0), Seen(refit, "holds")]
    found = finder.diagnose([*seen, Seen(Question(Act.FUSE, "fuse: tail", "", Setup.of(LIT), "lights on"), "open")])
    assert found.groups[0].suspects[0][0].cause is Cause.BLOWN_FUSE
    misled = finder.diagnose([*seen, looked(finder, "tail", "on", {**LIT, "stop": "on"})])
    assert Cause.BLOWN_FUSE in {group.suspects[0][0].cause for group in misled.groups[:3]}


def test_a_short_is_told_from_a_blown_fuse_by_a_sound_one(finder):
    fuse, refit = (Question(act, "fuse: tail", "", Setup.of(LIT), "lights on") for act in (Act.FUSE, Act.REFIT))
    seen = [looked(finder, "tail", "off", LIT), Seen(fuse, "open")]
    holds, opens = (finder.diagnose([*seen, Seen(refit, answer)]) for answer in ("holds", "opens"))
    assert share_of(holds, Cause.BLOWN_FUSE) > 0.7
    assert share_of(opens, Cause.SHORT_TO_GROUND) > 0.6


def test_two_faults_are_looked_for_where_none_alone_explains(finder):
    tail = Question(Act.FUSE, "fuse: tail", "", Setup.of(LIT), "lights on")
    stop = Question(Act.FUSE, "fuse: stop", "", Setup.of(BRAKED), "stop on")
    seen = [
        looked(finder, "tail", "off", LIT),
        looked(finder, "stop", "off", BRAKED),
        Seen(tail, "open"),
        Seen(stop, "open"),
    ]
    seen += [looked(finder, "radio", "on", {})]
    found = finder.diagnose(seen)
    assert found.has_pairs
    assert len(found.groups[0].suspects[0]) == 2
    assert {one.circuit for one in found.groups[0].suspects[0]} == {"tail", "stop"}


def test_suspects_that_nothing_but_a_close_look_tells_apart_are_one_group(finder):
    standing = finder.standing([looked(finder, "tail", "off", LIT)])
    hypotheses = standing.hypotheses
    codes = np.array(
        [hypotheses.codes(offer.question) for offer in standing.offered if offer.question.act is not Act.INSPECT]
    )
    for group in np.unique(standing.group):
        owners = np.unique(hypotheses.owner[standing.group == group])
        behaviours = {np.unique(codes[:, hypotheses.owner == owner], axis=1).tobytes() for owner in owners.tolist()}
        assert len(behaviours) == 1


def test_shares_sum_to_one_and_what_each_answer_would_mean_is_what_it_then_means(finder):
    seen = [looked(finder, "tail", "off", LIT)]
    standing, diagnosis = finder.standing(seen), finder.diagnose(seen)
    assert standing.share.sum() == pytest.approx(1.0)
    proposal = next(one for one in diagnosis.proposals if one.offer.question.act is Act.LOOK)
    outcome = proposal.outcomes[0]
    after = finder.diagnose([*seen, Seen(proposal.offer.question, outcome.answer)])
    promised = dict(outcome.leaves)
    # an answer about a fault that may come and go counts a little less than a promise made for a steady one
    assert after.groups[0].words[0] in promised
    assert after.groups[0].share == pytest.approx(promised[after.groups[0].words[0]], abs=0.1)


def test_no_question_brings_less_than_nothing_or_more_than_is_open(finder):
    standing = finder.standing([looked(finder, "tail", "off", LIT)])
    bits = expected_bits(standing.hypotheses, standing.share, standing.group, standing.offered)
    shares = standing.shares[standing.shares > 0]
    assert (bits >= 0).all()
    assert bits.max() <= -(shares * np.log2(shares)).sum()


def test_the_shops_own_faults_move_the_shares(finder):
    seen = [looked(finder, "tail", "off", LIT)]
    plain, taught = finder.diagnose(seen), finder.diagnose(seen, {Cause.BLOWN_FUSE: 60})
    assert share_of(taught, Cause.BLOWN_FUSE) > 2 * share_of(plain, Cause.BLOWN_FUSE)
    assert sum(prior_shares({Cause.BLOWN_FUSE: 60}).values()) == pytest.approx(1.0)


def test_answers_to_an_act_are_shared_out_whole():
    for act, many in ((Act.LOOK, 3), (Act.FUSE, 2), (Act.VOLTS, 5)):
        whole = sum(chances(act, np.arange(many), code) for code in range(many))
        assert whole == pytest.approx(np.ones(many))
        assert chances(act, np.array([0]), 0)[0] == pytest.approx(1.0 - WRONG)


def test_what_is_far_from_the_matter_is_set_aside():
    far = Finder(size_plan(load_starter("closed_car")))
    horn, glass = (looked(far, name, "off", {"ignition": "run", "horn": "on"}) for name in ("horns", "radio memory"))
    found = far.diagnose([horn, Seen(glass.question, "on")])
    assert [one.question.at for one in found.aside] == [glass.question.at]


def test_what_one_switch_feeds_dies_with_the_switch():
    """Both low beams have a pole of their own; one handle throws them."""
    far = Finder(size_plan(load_starter("pickup")))
    state = next(state for state in far.states() if state.name == "headlamp low")
    beams = [Seen(Question(Act.LOOK, far.loads_of(name)[0], "", Setup.of(state.positions), state.name), "off")
             for name in ("low beam left", "low beam right")]  # fmt: skip
    high = Question(Act.LOOK, far.loads_of("low beam left")[0], "", Setup.of({"lighting": "on"}), "lighting on")
    found = far.diagnose([*beams, Seen(high, "off")])
    assert any("all its contacts" in group.words[0] for group in found.groups[:6])


@pytest.mark.parametrize("answer", ["off", "on"])
def test_a_circuit_without_a_fuse_is_searched_as_any(answer):
    horn = Circuit("horn", "front", "battery", "panel", "horn", ("boot",), Kind.COIL, load_a=5.0, switch_at="dash",
                   switch="horn:on", fuse_family=FuseFamily.NONE)  # fmt: skip
    finder = Finder(size_plan(replace(PLAN, circuits=(horn,))))
    found = finder.diagnose([looked(finder, "horn", answer, {"horn": "on"})])
    assert found.groups
    assert all(one.cause is not Cause.BLOWN_FUSE for group in found.groups for both in group.suspects for one in both)


def test_nothing_seen_or_a_load_of_another_plan_is_refused(finder):
    with pytest.raises(FinderError, match="nothing was seen"):
        finder.diagnose([])
    with pytest.raises(FinderError, match="expected a load of the plan"):
        finder.diagnose([Seen(Question(Act.LOOK, "bell"), "off")])


def test_invented_faults_are_found():
    """A few of those that the bench measures."""
    invented = Invented(Finder(size_plan(PLAN)), seed=5)
    found = [search(invented, *invented.inject(), best) for _ in range(40)]
    assert sum(one.rank <= 3 for one in found) >= 36
    assert sum(one.is_isolated for one in found) >= 36
    assert np.mean([one.tests for one in found]) < 8
