"""What changed between two frozen records."""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

from circuits.fittings import Cavity, Connector
from circuits.sheets import write_json
from estimating.labour.minutes import DEFAULT_MINUTES
from estimating.pricing.quote import Terms
from estimating.quotes.changes import Changes, Difference, changes
from estimating.quotes.paper_content import Letterhead
from estimating.quotes.paper_facts import change_sentences
from estimating.quotes.record import Heading, make_record
from estimating.rules import ShopRules
from estimating.workup import work_up
from tests.estimating.quotes import cast


def _record(*circuits, rules=None, revision=1):
    rules = rules or ShopRules()
    heading = Heading("Q-2026-001", revision, date(2026, 3, 2), date(2026, 4, 1), "Ada", "R. Oduya", "")
    return make_record(heading, Letterhead(), rules, work_up(cast.plan_of(*circuits), rules))


def _changes(before, after):
    return changes(before.compared, after.compared)


def test_nothing_changed_is_falsy():
    record = _record(cast.HEADLAMP, cast.TAIL)
    assert not _changes(record, record)


def test_added_and_dropped_circuits_are_named_in_order():
    found = _changes(_record(cast.HEADLAMP, cast.TAIL), _record(cast.FAN, cast.TAIL, cast.SOCKET))
    assert (found.added, found.dropped) == (("cooling fan", "socket"), ("low beam left",))


def test_altered_load_shows_what_follows_from_it():
    hotter = replace(cast.HEADLAMP, load_w=130.0)
    (altered,) = _changes(_record(cast.HEADLAMP), _record(hotter)).altered
    differences = {difference.name: difference for difference in altered.differences}
    assert differences["load, W"] == Difference("load, W", "55", "130")
    assert {"fuse", "wire sizes"} <= set(differences)


def test_value_that_goes_is_seen():
    (altered,) = _changes(_record(replace(cast.SOCKET, colour="RD")), _record(cast.SOCKET)).altered
    assert Difference("colour", "RD", "") in altered.differences


def test_notes_and_order_of_circuits_are_no_change():
    before = _record(cast.HEADLAMP, cast.TAIL)
    after = _record(cast.TAIL, replace(cast.HEADLAMP, notes="mind the horn"))
    found = _changes(before, after)
    assert (found.added, found.dropped, found.altered, found.money) == ((), (), (), ())


def test_fittings_that_differ_are_named_and_older_records_have_none():
    plan = cast.plan_of(cast.HEADLAMP)
    body, cavity = Connector("C1", "left wing"), Cavity("C1", "1", "low beam left")
    record = {"plan": json.loads(write_json(plan)), "answer": {"circuits": [], "hours": {}, "quote": {}}}
    fitted = replace(plan, connectors=(body,), cavities=(cavity,))
    keyed = replace(fitted, connectors=(replace(body, keying="A", notes="x"),))
    with_body, with_key = (record | {"plan": json.loads(write_json(one))} for one in (fitted, keyed))
    assert changes(record, with_body).fittings == ("connectors added: C1", "cavities added: C1 1")
    assert changes(with_body, with_key).fittings == ("connectors altered: C1",)
    assert changes(with_key, record).fittings == ("connectors left out: C1", "cavities left out: C1 1")
    assert change_sentences(changes(with_body, with_key), Terms())[0] == "Connectors altered: C1."


def test_money_differences_are_those_of_the_quotes():
    before, after = _record(cast.HEADLAMP), _record(cast.HEADLAMP, cast.FAN)
    by_name = {change.name: change for change in _changes(before, after).money}
    assert by_name["total"].by == after.priced.total - before.priced.total
    classes = sum(by_name[name].by for name in ("labour", "parts", "sundries"))
    assert classes == by_name["net"].by


def test_hours_change_with_the_minutes_and_money_with_the_hours():
    dearer = ShopRules(minutes=DEFAULT_MINUTES.with_minutes({"splice": DEFAULT_MINUTES.minutes("fit panel")}))
    two = replace(cast.TAIL, load_at=("tail", "rear seat"))
    found = _changes(_record(two), _record(two, rules=dearer))
    assert [change.name for change in found.hours] == ["P50", "P80", "P90"]
    assert all(change.by_h > 0 for change in found.hours)
    assert {change.name for change in found.money} >= {"labour", "total"}


def test_other_currency_is_kept_with_its_sums():
    terms = replace(ShopRules().terms, currency="GBP")
    found = _changes(_record(cast.TAIL), _record(cast.TAIL, rules=replace(ShopRules(), terms=terms)))
    assert (found.currency_before, found.currency) == ("EUR", "GBP")


def test_record_says_which_revision_it_is_compared_with():
    first, second = _record(cast.TAIL), _record(cast.TAIL, cast.FAN, revision=2)
    assert second.since(first).changes_since == 1
    assert second.since(None).changes is None


def test_sentences_name_circuits_and_the_new_total():
    before, after = _record(cast.HEADLAMP, cast.TAIL), _record(cast.HEADLAMP, cast.FAN)
    text = " ".join(change_sentences(_changes(before, after), Terms()))
    assert "Added: cooling fan." in text
    assert "Left out: tail lamp." in text
    assert f"€{after.priced.total:,}" in text


def test_no_change_is_said():
    assert change_sentences(Changes(), Terms()) == ("Nothing in circuits, hours or money.",)


def test_money_change_keeps_its_sign():
    found = {c.name: c for c in _changes(_record(cast.HEADLAMP, cast.FAN), _record(cast.HEADLAMP)).money}
    assert found["total"].by < Decimal(0)
