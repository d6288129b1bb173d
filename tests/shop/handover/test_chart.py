"""The fuse chart names each fuse where it sits."""

from __future__ import annotations

from dataclasses import replace

from circuits.electrical.sizing import size_plan
from circuits.fittings import PanelPosition
from circuits.harness.panel_layout import lay_out_panels
from shop.handover.chart import fuse_panels
from tests.circuits.cast import marsh_hare


def test_every_fuse_is_on_the_chart_by_the_label_of_its_position() -> None:
    sized = size_plan(marsh_hare())
    charted = {one.circuit: one.at for panel in fuse_panels(sized) for one in panel.positions}
    assert charted == {
        filled.fuse.name: filled.position.label
        for layout in lay_out_panels(sized)
        for filled in layout.positions
        if filled.fuse is not None
    }
    assert charted.keys() == {fuse.name for fuse in sized.fuses}


def test_a_fuse_without_a_position_is_on_the_chart_by_its_number() -> None:
    one_position = (PanelPosition("panel", "F7", "battery"),)
    charted = {one.circuit: one.at for p in fuse_panels(size_plan(replace(marsh_hare(), positions=one_position)))
               for one in p.positions}  # fmt: skip
    assert charted["horn"] == "F7"
    assert all(at.isdigit() for circuit, at in charted.items() if circuit not in ("horn", "main feed"))
