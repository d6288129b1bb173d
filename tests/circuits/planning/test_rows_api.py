"""What the grid sends and what it is answered."""

from __future__ import annotations

import json
import threading
from dataclasses import replace
from typing import Any

import pytest
from django.db import connection, connections
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from circuits.planning.changes import save_rows
from circuits.planning.edits import ConflictError, Edit
from circuits.planning.listing import CIRCUITS
from circuits.planning.models import CircuitRow, PlanRow
from circuits.planning.sized_cache import SIZED
from tests.circuits.cast import HORN
from tests.circuits.planning.cast import client_of, marsh_plan, plan_of, row_of

pytestmark = pytest.mark.django_db


def send(client: Client, plan: PlanRow, body: Any, act: str = "save", listing: str = "circuits") -> Any:
    url = reverse(f"planning:{act}_rows", args=[plan.pk, listing])
    text = body if isinstance(body, str) else json.dumps(body)
    return client.post(url, text, content_type="application/json")


def described(row: CircuitRow, **changed: str) -> dict[str, Any]:
    """The row as the grid would send it with some cells typed over."""
    cells = dict(zip([c.name for c in CIRCUITS.columns], CIRCUITS.cells_of(row), strict=True))
    return {"key": "k", "id": row.pk, "version": row.version, "after": 0, "cells": cells | changed}


def test_answer_brings_the_row_and_only_results_that_are_now_another() -> None:
    plan = marsh_plan()
    client = client_of("office")
    client.get(reverse("planning:plan", args=[plan.pk]))
    answer = send(client, plan, {"known": 1, "rows": [described(row_of(plan, "gauges"), load_a="1.5")]})
    told = answer.json()
    assert answer.status_code == 200
    assert told["version"] == 2
    assert told["rows"]["k"]["version"] == 2
    changed = {int(row_id) for row_id in told["results"]}
    assert row_of(plan, "gauges").pk in changed
    assert row_of(plan, "main feed").pk not in changed
    assert told["summary"] == ""  # no figure of the whole plan is another


def test_answer_brings_the_plan_in_figures_where_they_are_now_others() -> None:
    plan = marsh_plan()
    new = described(row_of(plan, "horn"), circuit="bell") | {"id": None, "version": 0, "key": "new-1"}
    told = send(client_of("office"), plan, {"known": 1, "rows": [new]}).json()
    assert '<dd class="figure">7</dd>' in told["summary"]


def test_results_are_the_same_where_another_process_sized_the_plan_before() -> None:
    plan = marsh_plan()
    SIZED.clear()
    told = send(client_of("office"), plan, {"known": 1, "rows": [described(row_of(plan, "gauges"), load_a="1.5")]})
    assert len(told.json()["results"]) == 6


def test_editor_that_missed_a_change_gets_the_whole_list() -> None:
    plan = marsh_plan()
    horn = row_of(plan, "horn")
    save_rows(plan_id=plan.pk, listing=CIRCUITS, edits=[Edit("x", horn.pk, 1, replace(HORN, load_a=9.0))], by="a")
    told = send(client_of("office"), plan, {"known": 1, "rows": [described(row_of(plan, "gauges"), load_a="1")]})
    assert [row["cells"][0] for row in told.json()["list"]][3] == "horn"
    assert told.json()["list"][3]["version"] == 2


def test_every_fault_is_told_at_once_and_nothing_stored() -> None:
    plan = marsh_plan()
    rows = [
        described(row_of(plan, "horn"), load_a="lots", kind="trumpet") | {"key": "a"},
        described(row_of(plan, "gauges"), load_a="2") | {"key": "b"},
        described(row_of(plan, "fuel level"), load_at="", load_a="") | {"key": "c"},
    ]
    answer = send(client_of("office"), plan, {"known": 1, "rows": rows})
    assert answer.status_code == 422
    faults = answer.json()["faults"]
    assert [(fault["key"], fault["column"]) for fault in faults] == [
        ("a", "load_a"), ("a", "kind"), ("c", "load_at"), ("c", "load_a"),
    ]  # fmt: skip
    assert "found “lots”, expected a current" in faults[0]["message"]
    assert row_of(plan, "gauges").load_a == 0.8


def test_conflict_shows_the_stored_row_and_who_stored_it() -> None:
    plan = marsh_plan()
    stale = described(row_of(plan, "horn"), load_a="9")
    horn = row_of(plan, "horn")
    save_rows(plan_id=plan.pk, listing=CIRCUITS, edits=[Edit("x", horn.pk, 1, replace(HORN, load_a=7.0))], by="Ada")
    answer = send(client_of("office"), plan, {"known": 1, "rows": [stale]})
    assert answer.status_code == 409
    theirs = answer.json()["conflicts"][0]["theirs"]
    assert (theirs["by"], theirs["version"], "7" in theirs["cells"]) == ("Ada", 2, True)
    assert row_of(plan, "horn").load_a == 7.0


@pytest.mark.parametrize(
    "body",
    [
        "",
        "[]",
        "{",
        {"rows": []},
        {"rows": "x"},
        {"rows": [1]},
        {"rows": [{"key": "a"}]},
        {"rows": [{"key": "a", "id": "x", "version": 1, "after": 0, "cells": {}}]},
        {"rows": [{"key": "a", "id": None, "version": 1, "after": 0, "cells": []}]},
        {"rows": [{"key": "a", "id": 1e400, "version": 1, "after": 0, "cells": {}}]},
    ],
)
def test_body_no_grid_sends_is_refused_in_words(body: Any) -> None:
    answer = send(client_of("office"), marsh_plan(), body)
    assert answer.status_code == 400
    assert "could not read" in answer.json()["message"]


@pytest.mark.parametrize(("act", "body"), [("delete", {"rows": [{"id": 1}]}), ("delete", {}), ("move", {"id": "x"})])
def test_other_acts_refuse_such_bodies_too(act: str, body: Any) -> None:
    assert send(client_of("office"), marsh_plan(), body, act).status_code == 400


def test_unknown_list_and_unknown_plan_are_not_found() -> None:
    plan = marsh_plan()
    body = {"known": 1, "rows": [described(row_of(plan, "horn"))]}
    assert send(client_of("office"), plan, body, listing="vehicle").status_code == 404
    plan.pk += 1
    assert send(client_of("office"), plan, body).status_code == 404


@pytest.mark.parametrize("act", ["save", "delete", "move"])
def test_technician_changes_nothing(act: str) -> None:
    plan = marsh_plan()
    horn = row_of(plan, "horn")
    body = {"rows": [described(horn, load_a="9")], "id": horn.pk, "after": 0}
    assert send(client_of("technician"), plan, body, act).status_code == 403
    assert row_of(plan, "horn").version == 1


def test_saving_costs_the_same_queries_at_any_size() -> None:
    client = client_of("office")
    counts = []
    for size in (1, 50, 120):
        plan = plan_of(size)
        client.get(reverse("planning:plan", args=[plan.pk]))
        body = {"known": 1, "rows": [described(row_of(plan, "gauge 0"), load_a="2")]}
        with CaptureQueriesContext(connection) as queries:
            assert send(client, plan, body).status_code == 200
        counts.append(len(queries))
    assert len(set(counts)) == 1, counts


@pytest.mark.django_db(transaction=True)
def test_of_many_who_edit_one_version_at_once_one_wins() -> None:
    plan = marsh_plan()
    horn = row_of(plan, "horn")
    won: list[int] = []
    lost: list[int] = []

    def work(number: int) -> None:
        try:
            value = replace(HORN, load_a=float(number + 10))  # none as it stands: that would be no edit
            save_rows(plan_id=plan.pk, listing=CIRCUITS, edits=[Edit("x", horn.pk, 1, value)], by=str(number))
            won.append(number)
        except ConflictError:
            lost.append(number)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=work, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(won), len(lost)) == (1, 5)
    assert row_of(plan, "horn").load_a == won[0] + 10
    assert row_of(plan, "horn").version == 2
