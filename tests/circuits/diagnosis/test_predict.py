"""What is taken over from one fault for another is what a solve of its own gives."""

from __future__ import annotations

import numpy as np
import pytest

from circuits.diagnosis.finder import Finder
from circuits.diagnosis.ohms import ohms_between
from circuits.diagnosis.predict import Predicted, predict
from circuits.diagnosis.questions import states_asked
from circuits.diagnosis.seen import Act, Question, Setup
from circuits.electrical.sizing import size_plan
from circuits.network.behaviour import Showing, showing
from circuits.network.build import build_network
from circuits.network.cold_ohms import ColdOhms
from circuits.network.faults import Fault, FaultKind, with_faults
from circuits.network.solve import solve
from circuits.sheets import load_starter


def fresh(built, positions, faults):
    """Voltages, and loads that work, by a solve of the faulted network."""
    faulted = with_faults(built.branches, faults)
    solution = solve(faulted.branches, positions, broken=faulted.broken)
    volt_v = np.where(solution.point.floating, 0.0, solution.point.volt_v)
    out = {fault.at for fault in faults}
    shown = [
        Showing.OFF
        if load.branch in out or solution.across_v(load.start, load.end) is None
        else showing(load, solution.across_v(load.start, load.end), solution.load_current_a(load))
        for load in built.branches.network.loads
    ]
    return volt_v, shown, set(solution.opened)


@pytest.mark.parametrize("circuit", ["low beam left"])
def test_every_case_is_as_a_fresh_solve_gives_it(circuit):
    finder = Finder(size_plan(load_starter("open_two_seater")))
    search = finder.search(frozenset([circuit]), has_neighbours=True)
    built = search.scope.built
    for state in states_asked(search.scope)[3:6]:
        (predicted,) = predict(built, [Setup.of(state.positions)], search.table.cases)
        assert isinstance(predicted, Predicted)
        for row, faults in enumerate(search.table.cases):
            volt_v, shown, opened = fresh(built, state.positions, faults)
            assert np.abs(predicted.volt_v[row] - volt_v).max() < 1e-6, (state.name, faults)
            assert [list(Showing)[code] for code in predicted.shown[row]] == shown, (state.name, faults)
            assert predicted.opens[row].sum() == len(opened)


def test_what_is_taken_out_is_as_an_open_branch():
    finder = Finder(size_plan(load_starter("open_two_seater")))
    search = finder.search(frozenset(["low beam left"]), has_neighbours=False)
    built, cases = search.scope.built, search.table.cases[:30]
    state = next(state for state in search.scope.states if state.name == "headlamp low")
    for out in ("fuse: low beam left", built.branches.network.loads[-1].branch):
        (predicted,) = predict(built, [Setup.of(state.positions, (out,))], cases)
        for row, faults in enumerate(cases):
            volt_v, _, opened = fresh(built, state.positions, (*faults, Fault(FaultKind.OPEN_WIRE, out)))
            assert np.abs(predicted.volt_v[row] - volt_v).max() < 1e-6, (out, faults)
            assert predicted.opens[row].sum() == len(opened)


def test_ohms_of_a_search_are_those_of_the_check_sheet():
    """One model of parts at rest: a standing motor and a cold filament read alike in both."""
    built = build_network(size_plan(load_starter("open_two_seater")))
    cold, compared = ColdOhms(built), 0
    for fuse in built.plan.fuses:
        row = built.branches.row[f"fuse: {fuse.name}"]
        read = cold.output(fuse.name).value
        at = built.branches.network.nodes[int(built.branches.end[row])].name
        asked = Question(Act.OHMS, at, setup=Setup(removed=(built.branches.names[row],)))
        if read is not None and np.isfinite(read):
            assert ohms_between(built, asked, [()])[0] == pytest.approx(read, rel=1e-3)
            compared += 1
    assert compared > 5
