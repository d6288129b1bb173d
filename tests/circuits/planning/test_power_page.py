"""The power page: a state is an address, loads are lit, what cannot be is told in words."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.network.build import build_network
from circuits.network.power_sheet import power_sheet
from circuits.network.wording import read_positions, read_state, switches
from circuits.planning.store import load_plan
from tests.circuits.planning.cast import client_of, marsh_plan, plan_of

pytestmark = pytest.mark.django_db


def page_of(query: str = "", row=None) -> str:
    address = reverse("planning:power", args=[(row or marsh_plan()).pk])
    answer = client_of("technician").get(address + query)
    assert answer.status_code == 200
    return answer.content.decode()


def test_everything_off_shows_no_load_lit_that_is_switched() -> None:
    page = page_of()
    assert "is-on" not in page.split("power-board")[1].split("Fuses that carry")[0] or "wanted off" not in page
    assert 'value="ignition=run"' in page


def test_a_state_is_an_address_and_answers_as_the_network_does() -> None:
    from circuits.electrical.sizing import size_plan

    row = marsh_plan()
    built = build_network(size_plan(load_plan(row.pk)))
    thrown = [f"{function}={positions[0]}" for function, positions in switches(built).items()]
    positions = read_positions(thrown, built)
    state = power_sheet(built, [read_state(", ".join(thrown), built)])["states"][0]
    lit = sum(load["showing"] == "on" for load in state["loads"])
    page = page_of("?" + "&".join(f"set={one}" for one in thrown), row)
    assert lit > 1
    assert page.count('class="lit is-on') == lit + 1  # one more in the counts
    assert state["switches"] == positions


def test_a_lost_ground_and_what_each_would_do_are_shown() -> None:
    page = page_of("?set=ignition=run&fault=lost+ground:+ground+strap&rank=grounds")
    assert "With lost ground: ground strap" in page
    assert "the gravest first" in page
    assert "fault=lost+ground" in page


def test_the_meter_on_a_circuit_says_what_it_should_read_with_its_tolerance() -> None:
    page = page_of("?set=ignition=run&circuit=horn")
    table = page.split("What a meter should show: horn")[1].split("</table>")[0]
    assert "loads unplugged" in table
    assert "open" in table
    assert table.count("in this state") >= 4
    assert "What a meter should show" not in page_of("?circuit=nothing")


def test_look_alikes_can_be_ranked_where_there_are_none() -> None:
    assert "None changes what is seen" in page_of("?rank=connectors")


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("?set=ignition=loud", "ignition: found"),
        ("?set=warp=on", "expected FUNCTION=POSITION"),
        ("?fault=gone", "expected KIND: WHERE"),
        ("?fault=open+wire:+nothing", "expected one of"),
        ("?fault=open+wire:+%3Cscript%3E", "&lt;script&gt;"),
    ],
)
def test_what_cannot_be_is_told_in_words_and_the_page_stands(query: str, said: str) -> None:
    page = page_of(query)
    assert said in page
    assert "<script>" not in page.split("<main", 1)[1].split("</main")[0]
    assert "Switches" in page


def test_number_of_queries_does_not_grow_with_the_plan() -> None:
    client, counts = client_of("office"), []
    for count in (3, 30):
        address = reverse("planning:power", args=[plan_of(count).pk])
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            client.get(address)
        counts.append(len(queries))
    assert counts[0] == counts[1]
