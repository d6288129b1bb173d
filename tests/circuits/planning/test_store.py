"""The door between rows and plan values."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import HealthCheck, given, settings
from hypothesis.extra.django import TestCase

from circuits.errors import PlanError
from circuits.plan import Plan, Vehicle, Zone
from circuits.planning import store
from circuits.planning.models import CircuitRow, PlanChange, PlanRow
from circuits.planning.rules import build_rules, save_build_rules
from circuits.planning.services import FromNothing, FromPlan, FromSheet, FromStarter, new_plan
from circuits.planning.sized_cache import SIZED
from circuits.rules import BuildRules, LengthRules, Series, SizingRules
from tests.circuits.cast import GAUGES, HORN, TAIL, marsh_hare
from tests.circuits.strategies import plans


class RoundTrip(TestCase):
    @settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
    @given(plan=plans())
    def test_any_plan_comes_back_as_it_was_stored(self, plan: Plan) -> None:
        row = store.create_plan(title="any", plan=plan, by="owner")
        assert store.load_plan(row.pk) == plan

    @settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow])
    @given(first=plans(), second=plans())
    def test_any_plan_takes_the_place_of_any_other(self, first: Plan, second: Plan) -> None:
        row = store.create_plan(title="any", plan=first, by="owner")
        store.replace_plan(plan_id=row.pk, plan=second, expected_version=row.version, by="office")
        assert store.load_plan(row.pk) == second


@pytest.mark.django_db
def test_replacing_keeps_the_rows_of_circuits_that_stay() -> None:
    row = store.create_plan(title="car", plan=marsh_hare(), by="owner")
    horn = CircuitRow.objects.get(name="horn")
    louder = replace(marsh_hare(replace(HORN, load_a=9.0)), zones=(Zone("cabin", 50.0),))
    after = store.replace_plan(plan_id=row.pk, plan=louder, expected_version=1, by="office")
    kept = CircuitRow.objects.get(name="horn")
    assert (kept.pk, kept.load_a, kept.version, kept.updated_by) == (horn.pk, 9.0, horn.version + 1, "office")
    assert CircuitRow.objects.get(name="gauges").version == 1
    assert (after.version, after.updated_by) == (2, "office")
    change = PlanChange.objects.filter(plan=row).first()
    assert change is not None
    assert change.before is not None
    assert change.after is not None
    assert change.before["circuits"][3]["load_a"] == 5.0
    assert change.after["circuits"][3]["load_a"] == 9.0


@pytest.mark.django_db
def test_replacing_a_plan_somebody_changed_is_refused_and_stores_nothing() -> None:
    row = store.create_plan(title="car", plan=marsh_hare(), by="owner")
    store.replace_plan(plan_id=row.pk, plan=marsh_hare(replace(HORN, load_a=9.0)), expected_version=1, by="office")
    with pytest.raises(store.StalePlanError, match="office"):
        store.replace_plan(plan_id=row.pk, plan=marsh_hare(), expected_version=1, by="owner")
    assert CircuitRow.objects.get(name="horn").load_a == 9.0


@pytest.mark.django_db
def test_name_longer_than_a_row_holds_is_refused() -> None:
    with pytest.raises(PlanError, match="at most"):
        store.create_plan(title="car", plan=marsh_hare(replace(HORN, name="h" * 501)), by="owner")
    assert not PlanRow.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("count", [1, 50, 120])
def test_loading_and_sizing_cost_the_same_queries_at_any_size(count: int) -> None:
    circuits = tuple(replace(GAUGES, name=f"gauge {number}") for number in range(count))
    row = store.create_plan(title="car", plan=replace(marsh_hare(), circuits=circuits), by="owner")
    SIZED.clear()
    with CaptureQueriesContext(
        connection,
    ) as queries:
        assert len(store.sized_plan(row).circuits) == count
    assert len(queries) == 11
    with CaptureQueriesContext(connection) as queries:
        store.sized_plan(row)
    assert len(queries) == 1


@pytest.mark.django_db
def test_sized_plan_follows_every_change_of_plan_and_rules() -> None:
    row = store.create_plan(title="car", plan=marsh_hare(), by="owner")
    first = store.sized_plan(row)
    assert store.sized_plan(row) is first
    row = store.replace_plan(plan_id=row.pk, plan=marsh_hare(replace(TAIL, load_w=21.0)), expected_version=1, by="")
    assert store.sized_plan(row).circuits[2].current_a == pytest.approx(2 * 21 / 12)
    save_build_rules(rules=BuildRules(SizingRules(series=Series.MM2)), by="owner")
    assert store.sized_plan(row).circuits[2].wires[0].conductor.label.endswith("mm²")


@pytest.mark.django_db(transaction=True)
def test_rolled_back_change_leaves_no_result_behind() -> None:
    from django.db import transaction

    row = store.create_plan(title="car", plan=marsh_hare(), by="owner")
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        louder = marsh_hare(replace(HORN, load_a=50.0))
        changed = store.replace_plan(plan_id=row.pk, plan=louder, expected_version=1, by="")
        store.sized_plan(changed)
        _ = 1 / 0
    quieter = marsh_hare(replace(HORN, load_a=1.0))  # again version 2, with another content
    changed = store.replace_plan(plan_id=row.pk, plan=quieter, expected_version=1, by="")
    assert store.sized_plan(changed).circuits[3].current_a == 1.0


@pytest.mark.django_db
def test_row_read_before_a_change_gives_no_mixture() -> None:
    row = store.create_plan(title="car", plan=marsh_hare(), by="owner")
    stale = PlanRow.objects.get(pk=row.pk)
    store.replace_plan(plan_id=row.pk, plan=marsh_hare(replace(HORN, load_a=9.0)), expected_version=1, by="")
    SIZED.clear()
    assert store.sized_plan(stale).circuits[3].current_a == 9.0  # what is stored now, under its own stamp
    assert SIZED.get(stale.stamp, "defaults") is None


@pytest.mark.django_db
def test_build_rules_are_the_products_own_until_stored() -> None:
    assert build_rules() == BuildRules()
    wanted = BuildRules(SizingRules(series=Series.MM2, sizes=("1 mm²", "2.5 mm²")), LengthRules(slack_ratio=0.1))
    save_build_rules(rules=wanted, by="owner")
    assert build_rules() == wanted


@pytest.mark.django_db
def test_new_plan_starts_from_each_source() -> None:
    assert store.load_plan(new_plan(title="a", source=FromNothing(), by="").pk) == Plan(Vehicle(), (), (), ())
    starter = new_plan(title="b", source=FromStarter("pickup"), by="")
    assert len(store.load_plan(starter.pk).circuits) > 20
    copy = new_plan(title="c", source=FromPlan(starter.pk), by="")
    assert store.load_plan(copy.pk) == store.load_plan(starter.pk)
    assert store.load_plan(new_plan(title="d", source=FromSheet(marsh_hare()), by="").pk) == marsh_hare()
