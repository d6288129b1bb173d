"""Single faults of a resistive network by updates of one factorisation, beside fresh factorisations and a simulator.

The network has 696 nodes and 869 branches, as invented from a seed. Each fault opens a branch, adds resistance to it,
or shorts a node to ground or to a neighbour; the sweep answers with every node's voltage. It is held to 1e-8 V of fresh
solves in the same run. "Prepared" is what one network costs before its first fault: walking its chains, finding its
bridges, one factorisation, its inverse. The fresh factorisation is the bare one, of a matrix that is assembled already.
The simulator changes one resistance at a time in one session, solves, keeps one voltage, and changes it back: its
fastest loop. All times are of the processor, user and system, so that what else runs on the machine does not count.

Goals: at least 100 times a fresh factorisation, and 250 times the simulator's loop, each over all faults. Then a whole
vehicle with lamps, junctions, relays and fuses (``points_of_a_vehicle.py``).
"""

from __future__ import annotations

import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import numpy as np

from circuits.electrical.sizing import size_plan
from circuits.network.behaviour import behave
from circuits.network.build import build_network
from circuits.network.chains import LinearNet
from circuits.network.changes import Change, Joined, Opened, Worsened, changed
from circuits.network.linear import solve_linear
from circuits.network.states import sensible_states
from circuits.network.sweep import Sweep
from tests.bench import points_of_a_vehicle
from tests.bench.clock import line
from tests.bench.made_plan import PULLED, made_plan

NODES, BRANCHES, FAULTS = 696, 869, 1500
TIMES_FACTORED, TIMES_SIMULATED, MOST_OFF_V = 100.0, 250.0, 1e-8
SIZES = (125, 250, 500, 1000, 2000)
"""Wires of the networks by which cost is set against size."""


def made_net(nodes: int, branches: int, seed: int = 1) -> LinearNet:
    """A network much like a loom: a tree with cross-links, one battery, resistances from wires to loads."""
    draw = random.Random(seed)
    pairs = [(draw.randrange(max(0, node - 8), node), node) for node in range(1, nodes)]
    pairs += [(draw.randrange(nodes), draw.randrange(nodes)) for _ in range(branches - len(pairs))]
    pairs = [(one, other if one != other else (other + 1) % nodes) for one, other in pairs]
    start, end = np.array(pairs).T
    ohm = 10 ** np.array([draw.uniform(-2.0, 1.0) for _ in pairs])
    emf_v = np.zeros(len(pairs))
    emf_v[0] = 12.6
    return LinearNet(nodes, 0, start, end, 1.0 / ohm, emf_v)


def made_faults(net: LinearNet, count: int, seed: int = 1) -> list[Change]:
    """Faults of all kinds, in turn."""
    draw = random.Random(seed)
    rows, nodes = len(net.start), net.nodes
    faults: list[Change] = []
    while len(faults) < count:
        one, other = draw.sample(range(1, nodes), 2)
        row = draw.randrange(rows)
        faults += [Opened(row), Worsened(draw.randrange(rows), 0.5), Joined(one, 0, 0.005), Joined(one, other, 0.005)]
    return faults[:count]


def processor_ms(work: Callable[[], object], *, runs: int = 21) -> float:
    """Median processor time of ``work`` [ms], after one run to warm up."""
    work()
    times = []
    for _ in range(runs):
        began = time.process_time()
        work()
        times.append((time.process_time() - began) * 1000)
    return median(times)


def fresh_factor_ms(net: LinearNet) -> float:
    """One bare factorisation."""
    factored = net.factored()
    return processor_ms(factored.refactor)


def simulator_ms(net: LinearNet, loops: int = 300) -> float | None:
    """One round of the simulator's loop over faults; None where it is not installed."""
    program = shutil.which("ngspice")
    if program is None:
        return None
    lines = ["* network"]
    for row, (start, end) in enumerate(zip(net.start.tolist(), net.end.tolist(), strict=True)):
        ohm, emf_v = 1.0 / float(net.conductance_s[row]), float(net.emf_v[row])
        inside = f"i{row}" if emf_v else f"{start}"
        lines += [f"v{row} i{row} {start} {emf_v!r}"] if emf_v else []
        lines.append(f"r{row} {inside} {end} {ohm!r}")
    with tempfile.TemporaryDirectory(prefix="loomwright-bench-") as folder:
        took = [
            _run_ms(
                program,
                Path(folder),
                [*lines, ".save v(1)", ".control", *_alterations(net, count), "quit 0", ".endc", ".end", ""],
            )
            for count in (10, 10 + loops)
        ]
    return (took[1] - took[0]) / loops


def _alterations(net: LinearNet, count: int) -> list[str]:
    commands = []
    for number in range(count):
        row = 1 + number % (len(net.start) - 1)
        commands += [
            f"alter r{row} = 1e9",
            "op",
            "destroy all",
            f"alter r{row} = {1.0 / float(net.conductance_s[row])!r}",
        ]
    return commands


def _run_ms(program: str, folder: Path, lines: list[str]) -> float:
    (folder / "net.cir").write_text("\n".join(lines), encoding="ascii")
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([program, "-b", "net.cir"], cwd=folder, check=False, capture_output=True, timeout=300)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) * 1000


def worst_off_v(net: LinearNet, faults: list[Change]) -> float:
    """Greatest difference between sweep and fresh solves [V]."""
    swept, worst = Sweep(net).run(faults), 0.0
    for number, fault in enumerate(faults):
        fresh = changed(net, fault)
        volt_v = solve_linear(fresh.factored(), fresh.emf_v).volt_v
        off_v = np.abs(swept.volt_v[number] - volt_v)[~fresh.islands.floating]
        worst = max(worst, float(np.max(off_v, initial=0.0)))
    return worst


def main() -> int:
    """Print the ratios; 1 where a goal is missed."""
    net = made_net(NODES, BRANCHES)
    faults = made_faults(net, FAULTS)
    print(f"  {net.nodes} nodes, {len(net.start)} branches, {len(faults)} single faults")
    sweep = Sweep(net)
    factor_ms = fresh_factor_ms(net)
    sweep_ms = processor_ms(lambda: sweep.run(faults))
    prepared_ms = processor_ms(lambda: Sweep(net).run(faults)) - sweep_ms
    line("prepared, once a network", prepared_ms)
    line("sweep of all faults", sweep_ms, f"{len(sweep.run(faults).anew)} solved anew")
    factored = (ratio := factor_ms * len(faults) / sweep_ms) >= TIMES_FACTORED
    line("fresh factorisation, each fault", factor_ms, _goal(ratio, TIMES_FACTORED))
    line(
        "  the same with what is prepared counted", factor_ms, f"{factor_ms * FAULTS / (sweep_ms + prepared_ms):.0f} x"
    )
    loop_ms = simulator_ms(net)
    simulated = True
    if loop_ms is None:
        print("  ngspice is not installed: not compared")
    else:
        simulated = (ratio := loop_ms * len(faults) / sweep_ms) >= TIMES_SIMULATED
        line("ngspice, alter and op, each fault", loop_ms, _goal(ratio, TIMES_SIMULATED))
    off_v = worst_off_v(net, faults)
    print(f"  worst difference from fresh solves {off_v:.1e} V, goal {MOST_OFF_V:g} V")
    _by_size()
    _vehicle()
    all_points = points_of_a_vehicle.main()
    return int(not (factored and simulated and off_v <= MOST_OFF_V and all_points))


def _goal(ratio: float, goal: float) -> str:
    return f"sweep {ratio:.0f} x as fast, goal {goal:.0f} x: {'kept' if ratio >= goal else 'MISSED'}"


def _by_size() -> None:
    """Cost of one fault, of the preparation and of a fresh factorisation, against size."""
    print("  wires   prepared ms   sweep us a fault   fresh factorisation us   ratio")
    for wires in SIZES:
        net = made_net(int(wires * NODES / BRANCHES), wires)
        faults, sweep = made_faults(net, 600), Sweep(net)
        prepared_ms = processor_ms(lambda: Sweep(net), runs=3)  # noqa: B023
        sweep_us = processor_ms(lambda: sweep.run(faults), runs=7) * 1000 / len(faults)  # noqa: B023
        fresh_us = fresh_factor_ms(net) * 1000
        print(f"  {wires:5d} {prepared_ms:13.1f} {sweep_us:18.2f} {fresh_us:24.1f} {fresh_us / sweep_us:7.0f}")


def _vehicle() -> None:
    """States of a vehicle with relays, lamps and junctions, each solved anew."""
    built = build_network(size_plan(made_plan(120, dispositions=PULLED)))
    states = sensible_states(built.plan)[:40]
    ms = processor_ms(lambda: [behave(built, state.positions) for state in states], runs=3) / len(states)
    wires = len(built.plan.wires)
    line(f"a state of 120 circuits, {wires} wires, with lamps", ms, f"mean of {len(states)} states, each solved anew")


if __name__ == "__main__":
    sys.exit(main())
