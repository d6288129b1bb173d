"""The connectors page: bodies drawn, swaps told with their cures, rows changed in grids and in plain forms."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.drawings.connector_face import Seated, connector_face
from circuits.electrical.sizing import size_plan
from circuits.fittings import Cavity, Connector, Half
from circuits.planning.connectors_page import connectors_shown
from circuits.planning.listing import LISTINGS
from circuits.planning.models import PlanRow
from circuits.planning.store import create_plan, load, load_plan
from circuits.sheets import load_starter
from tests.circuits.planning.cast import client_of, form_of

pytestmark = pytest.mark.django_db
VAN = load_starter("small_van")


@pytest.fixture
def van() -> PlanRow:
    return create_plan(title="van", plan=VAN, by="owner")


def page_of(plan: PlanRow) -> str:
    return reverse("planning:connectors", args=[plan.pk])


def test_page_draws_each_body_with_the_colour_of_every_wire_in_it() -> None:
    sized = size_plan(VAN)
    faces = {face.connector.name: face.drawing.description for face in connectors_shown(sized).faces}
    for one in sized.wires:
        for end in (one.wire.start, one.wire.end):
            if end.connector:
                assert f"{end.cavity}: {one.wire.circuit} " in faces[end.connector]
                assert f", {one.wire.colour}." in faces[end.connector]


def test_every_shape_of_a_face_lies_on_its_sheet() -> None:
    long = "a function of a lead that nobody would write on a body"
    cavities = [Seated(Cavity("C1", label, long * 2), "RD/BK") for label in ("1", long, "3")]
    for body in (Connector("C1 " + long, "nose"), Connector("C1", "nose", half=Half.LEADS, ways=9)):
        for count in range(4):
            drawing = connector_face(body, cavities[:count])
            for shape in drawing.shapes:
                assert shape.box.x >= 0
                assert shape.box.right <= drawing.width + 0.01
                assert shape.box.bottom <= drawing.height + 0.01


def test_swaps_are_told_with_what_meets_and_cures(van: PlanRow) -> None:
    html = client_of("technician").get(page_of(van)).content.decode()
    assert "fan plug, horn plug" in html
    assert "radiator and horn, 0.30 m apart" in html
    assert "Key fan plug as A and horn plug as B." in html
    assert "Under power: cooling fan: radiator fan at radiator is dead: 0 V (thermostat hot)" in html


def test_grids_tell_the_wire_of_each_cavity_and_how_full_a_body_is(van: PlanRow) -> None:
    context = client_of("office").get(page_of(van)).context
    cavities = {" ".join(row["cells"][:2]): row["result"]["figures"] for row in context["cavities"]["rows"]}
    wire = next(one for one in size_plan(VAN).wires if one.wire.end.seat == "horn plug cavity 1")
    assert cavities["horn plug 1"] == [[[f"wire {wire.wire.colour}"], wire.conductor.label]]
    assert cavities["buzzer leads volume"] == [[]]
    bodies = {row["cells"][0]: row["result"]["figures"] for row in context["connectors"]["rows"]}
    assert (bodies["C1"], bodies["buzzer leads"]) == ([["25 of 28"]], [["2 of 3"]])


def test_page_costs_the_same_queries_at_any_size(van: PlanRow) -> None:
    bare = create_plan(title="bare", plan=replace(VAN, connectors=(), cavities=()), by="owner")
    client = client_of("office")
    counts = []
    for plan in (van, bare):
        client.get(page_of(plan))
        with CaptureQueriesContext(connection) as queries:
            client.get(page_of(plan))
        counts.append(len(queries))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("name", LISTINGS)
def test_plain_form_of_any_list_stores_what_it_shows_and_changes_nothing_else(van: PlanRow, name: str) -> None:
    part = load(van.pk).rows_of(name)[0]
    address = reverse("planning:row", args=[van.pk, name, part.pk])
    client = client_of("office")
    assert client.post(address, form_of(client, address)).status_code == 302
    assert load_plan(van.pk) == VAN
    changed = client.post(address, form_of(client, address) | {LISTINGS[name].columns[0].name: "another name"})
    assert changed.status_code == 302
    assert "another name" in str(load(van.pk).rows_of(name)[0])


def test_plain_form_takes_a_key_and_makes_and_takes_out_a_row(van: PlanRow) -> None:
    client = client_of("office")
    new = reverse("planning:new_row", args=[van.pk, "cavities"])
    filled: dict[str, Any] = form_of(client, new) | {"cavity": "spare 9"}
    assert filled["connector"] == VAN.cavities[-1].connector  # handed down
    assert client.post(new, filled).status_code == 302
    made = load(van.pk).rows_of("cavities")[-1]
    assert made.label == "spare 9"
    out = reverse("planning:take_out_row", args=[van.pk, "cavities", made.pk])
    assert client.post(out, {"version": "0"}).status_code == 302
    assert load(van.pk).rows_of("cavities")[-1] == made  # not as it was seen
    client.post(out, {"version": made.version})
    assert load_plan(van.pk) == VAN


def test_plain_form_tells_what_somebody_else_stored_meanwhile(van: PlanRow) -> None:
    part = load(van.pk).rows_of("runs")[0]
    address = reverse("planning:row", args=[van.pk, "runs", part.pk])
    client = client_of("office")
    mine = form_of(client, address) | {"length": "2"}
    client_of("owner").post(address, form_of(client_of("owner"), address) | {"notes": "theirs"})
    answer = client.post(address, mine)
    assert answer.status_code == 409
    assert f"{part} was changed elsewhere" in answer.content.decode()
    assert load(van.pk).rows_of("runs")[0].notes == "theirs"


def test_cell_that_cannot_be_read_stands_at_its_field(van: PlanRow) -> None:
    address = reverse("planning:new_row", args=[van.pk, "connectors"])
    client = client_of("office")
    answer = client.post(address, {"connector": "C9", "place": "panel", "wire_min": "thin", "half": "socket"})
    assert "expected a wire size such as 14 AWG" in answer.content.decode()
    assert "<q>thin</q>" in answer.content.decode()
    assert load_plan(van.pk) == VAN


def test_circuit_page_says_where_each_end_sits_and_how_long_the_fuse_holds(van: PlanRow) -> None:
    horn = next(row for row in load(van.pk).circuit_rows if row.name == "horn")
    html = client_of("technician").get(reverse("planning:circuit", args=[van.pk, horn.pk])).content.decode()
    assert "horn plug cavity 1" in html
    assert "fuse holds the surge of switching on" in html


@pytest.mark.browser
def test_a_new_name_in_one_grid_is_in_the_other_and_in_the_drawing(live_shop: Any) -> None:
    plan = create_plan(title="van", plan=VAN, by="owner")
    page = live_shop.open(page_of(plan))
    cell = page.locator("[data-grid=connectors] tbody tr").nth(8).locator("[data-c='0']")
    cell.click()
    page.keyboard.type("fan body")
    page.keyboard.press("Enter")
    page.locator("[data-grid=cavities] tbody td", has_text="fan body").first.wait_for(state="attached")
    page.locator("#connectors-judged strong", has_text="fan body, horn plug").wait_for()
    page.locator("#connectors-drawn svg text", has_text="fan body").wait_for()
