"""A vehicle leaves only when every check has passed, nothing endangers people, and the customer agreed to the work."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from shop.handover.content import FaultLine, Outcome, OverrideLine, ProofLine
from shop.handover.rules import WorkState, reasons_not_to_release

outcomes = st.sampled_from(Outcome)
proofs = st.lists(st.tuples(st.sampled_from(["Grounds", "Outputs", "Charging"]), outcomes), max_size=12).map(
    lambda rows: tuple(
        ProofLine(group, f"check no. {number}", "at most 0.1 ohm", "0.3 ohm", outcome)
        for number, (group, outcome) in enumerate(rows)
    )
)
faults = st.lists(st.tuples(st.booleans(), st.sampled_from(["", " ", "drive by day"])), max_size=5).map(
    lambda rows: tuple(
        FaultLine(number, f"lamp {number} glows", endangers=danger, advice=advice)
        for number, (danger, advice) in enumerate(rows, 1)
    )
)
states = st.builds(
    WorkState,
    accepted_revision=st.one_of(st.none(), st.integers(1, 9)),
    unaccepted=st.lists(st.sampled_from(["horn", "fan"]), unique=True).map(tuple),
    is_sheet_stale=st.booleans(),
    proof=proofs,
    faults=faults,
    overrides=st.just((OverrideLine("Battery connected", "to hear the starter", "Wilma Lumen"),)),
)


@given(states)
def test_any_missing_or_failed_check_and_any_dangerous_fault_stops_the_release(state):
    is_proved = bool(state.proof) and all(line.outcome is Outcome.PASSED for line in state.proof)
    is_safe = not any(fault.endangers for fault in state.faults)
    is_told = all(fault.advice.strip() for fault in state.faults if not fault.endangers)
    is_agreed = state.accepted_revision is not None and not state.unaccepted
    may = is_proved and not state.is_sheet_stale and is_safe and is_told and is_agreed
    assert (reasons_not_to_release(state) == ()) is may


@given(states)
def test_every_reason_is_told_with_the_name_of_what_it_is_about(state):
    told = " ".join(reasons_not_to_release(state)) + " "
    for line in state.proof:
        is_named = any(f"{line.what}{end}" in told for end in (".", ";", ":"))
        assert is_named is (line.outcome is not Outcome.PASSED)
    for fault in state.faults:
        assert (f"Fault {fault.number} endangers people" in told) is fault.endangers
    for circuit in state.unaccepted:
        assert circuit in told


@given(states)
def test_an_override_lets_no_vehicle_leave(state):
    assert reasons_not_to_release(state) == reasons_not_to_release(replace(state, overrides=()))
