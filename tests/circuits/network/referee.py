"""The same networks in the circuit simulator: many in one deck, each with nodes of its own but for ground.

Only what conducts is written: switches and relay contacts stand as our solution has them, since the referee is asked
about voltages, not about relays.
"""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from circuits.network.branches import Bools, Branches
from circuits.network.laws import KNEE, LEAK_S, Floats, figure

REFEREE_THERMAL_V = 1.380649e-23 * 300.15 / 1.602176634e-19
"""Thermal voltage of the simulator at its nominal 27 °C [V]."""


def lines_of(key: str, branches: Branches, on: Bools, emf_v: Floats) -> list[str]:
    """Netlist of the branches that conduct."""
    names = ["0" if node == branches.reference else f"{key}n{node}" for node in range(len(branches.network.nodes))]
    lamps = {int(row): n for n, row in enumerate(branches.lamps)}
    diodes = {int(row): n for n, row in enumerate(branches.diodes)}
    power = (1.0 - figure("lamp_current_exponent")) / 2.0
    lines = []
    for row in np.flatnonzero(on):
        start, end, name = names[branches.start[row]], names[branches.end[row]], f"{key}x{row}"
        if start == end:
            continue
        if (n := lamps.get(int(row))) is not None:
            rated_v, rated_w = float(branches.rated_v[n]), float(branches.rated_w[n])
            share = f"(v({start},{end})/{rated_v!r})"
            law = f"{rated_w / rated_v!r}*{share}*(({1.0 + KNEE!r})/({share}*{share}+{KNEE!r}))**{power!r}"
            lines.append(f"B{name} {start} {end} i={law}")
        elif (n := diodes.get(int(row))) is not None:
            emission = float(branches.slope_v[n]) / REFEREE_THERMAL_V
            lines += [
                f".model {name}m d(is={float(branches.saturation_a[n])!r} n={emission!r})",
                f"D{name} {start} {end} {name}m",
                f"R{name}leak {start} {end} {1.0 / LEAK_S!r}",
            ]
        elif emf_v[row]:
            lines += [
                f"V{name} {name}i {start} {float(emf_v[row])!r}",
                f"R{name} {name}i {end} {1.0 / float(branches.conductance_s[row])!r}",
            ]
        else:
            lines.append(f"R{name} {start} {end} {1.0 / float(branches.conductance_s[row])!r}")
    return lines


def voltages_v(program: str, folder: Path, decks: Sequence[list[str]]) -> dict[str, float]:
    """Voltage of every node of some decks, solved one after the other in one process [V]."""
    loads = []
    for number, deck in enumerate(decks):
        options = ".options reltol=1e-9 abstol=1e-13 vntol=1e-10 gmin=1e-15 itl1=500"
        text = "\n".join(["* network", options, *deck, ".end", ""])
        (folder / f"deck{number}.cir").write_text(text, encoding="ascii")
        loads += [f"source deck{number}.cir", "op", f"write deck{number}.raw all"]
    script = "\n".join(["* run", ".control", "set filetype=binary", *loads, "quit 0", ".endc", ".end", ""])
    (folder / "run.cir").write_text(script, encoding="ascii")
    subprocess.run([program, "-b", "run.cir"], cwd=folder, check=False, capture_output=True, timeout=300)
    found: dict[str, float] = {}
    for number in range(len(decks)):
        found |= _read_raw(folder / f"deck{number}.raw")
    return found


def _read_raw(path: Path) -> dict[str, float]:
    head, _, data = path.read_bytes().partition(b"Binary:\n")
    lines = head.decode().splitlines()
    start = next(n for n, line in enumerate(lines) if line.startswith("Variables:"))
    names = [line.split()[1] for line in lines[start + 1 :] if line.strip()]
    values: NDArray[np.float64] = np.frombuffer(data[: 8 * len(names)], dtype=np.float64)
    return {
        name.removeprefix("v(").removesuffix(")").lower(): float(value)
        for name, value in zip(names, values, strict=True)
    }
