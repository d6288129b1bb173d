"""The panel page: every panel laid out, what does not fit, in a fixed number of queries."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.electrical.sizing import size_plan
from circuits.fittings import PanelPosition
from circuits.planning.panel_page import panels_shown
from circuits.planning.store import load_plan
from tests.circuits.cast import marsh_hare
from tests.circuits.planning.cast import client_of, marsh_plan, plan_of

pytestmark = pytest.mark.django_db


def test_every_fuse_is_on_the_page_at_its_position() -> None:
    sized = size_plan(marsh_hare())
    page = client_of("technician").get(reverse("planning:panel", args=[marsh_plan().pk])).content.decode()
    for fuse in sized.fuses:
        assert f"{fuse.rating_a:g} A {fuse.family}" in page
    assert "spare" in page
    assert "The plan lists no positions here" in page


def test_buses_are_summed_up() -> None:
    listed = tuple(PanelPosition("panel", str(n), bus) for n, bus in enumerate(("battery", "ignition") * 3))
    shown = {panel.layout.panel: panel for panel in panels_shown(size_plan(replace(marsh_hare(), positions=listed)))}
    panel = shown["panel"]
    assert panel.layout.is_listed
    assert [(bus.bus, bus.fuses + bus.spares) for bus in panel.buses] == [("battery", 3), ("ignition", 3)]
    assert {finding.circuit for finding in panel.layout.findings if finding.code == "panel-no-position"} == {
        "dip beam", "tail lamps",
    }  # fmt: skip


def test_number_of_queries_does_not_grow_with_the_plan() -> None:
    client = client_of("office")
    counts = []
    for count in (3, 30):
        address = reverse("planning:panel", args=[plan_of(count).pk])
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            client.get(address)
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_a_layout_that_is_kept_is_stored_as_positions_and_changes_nothing_on_the_panel() -> None:
    row, client = marsh_plan(), client_of("office")
    address = reverse("planning:panel", args=[row.pk])
    before = client.get(address).context["panels"]
    assert client.post(address, {"seen": str(row.version)}).status_code == 302
    after = client.get(address).context["panels"]
    assert all(panel.layout.is_listed for panel in after)
    for old, new in zip(before, after, strict=True):
        assert [(f.position.label, f.fuse) for f in old.layout.positions] == [
            (f.position.label, f.fuse) for f in new.layout.positions
        ]


def test_a_layout_of_another_version_is_not_kept() -> None:
    row, client = marsh_plan(), client_of("office")
    address = reverse("planning:panel", args=[row.pk])
    answer = client.post(address, {"seen": str(row.version + 1)}, follow=True)
    assert "Look at the panels as they are now" in answer.content.decode()
    assert load_plan(row.pk).positions == ()


def test_a_technician_keeps_no_layout() -> None:
    address = reverse("planning:panel", args=[marsh_plan().pk])
    assert client_of("technician").post(address, {"seen": "1"}).status_code == 403
