"""Order in which circuits feed each other, and the drop set apart for tapped circuits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.electrical.feeding import allowances_percent, feeder_of, feeding_order, tapped_by
from circuits.plan import Circuit, Kind
from tests.circuits.electrical import looms


def chain(*feeds: tuple[str, str], **changed: float) -> dict[str, Circuit]:
    """Circuits by name from pairs of name and feed; limits by name in ``changed``."""
    return {name: looms.circuit(name, feed=feed, max_drop_percent=changed.get(name, 5.0)) for name, feed in feeds}


def test_each_circuit_comes_after_its_feeder() -> None:
    circuits = chain(("lamp", "panel"), ("horn", "battery"), ("panel", "main"), ("main", "battery"))
    assert feeding_order(circuits) == ("main", "panel", "lamp", "horn")


def test_a_loop_of_feeds_is_cut() -> None:
    circuits = chain(("one", "two"), ("two", "three"), ("three", "one"), ("self", "self"))
    order = feeding_order(circuits)
    assert sorted(order) == ["one", "self", "three", "two"]
    assert feeder_of(circuits["self"], circuits) == ""
    assert set(allowances_percent(circuits, order, 0.4)) == {"one", "two", "three"}


@given(st.lists(st.integers(-1, 30), max_size=30))
def test_order_holds_every_circuit_once_and_feeders_first(parents: list[int]) -> None:
    circuits = chain(*((f"c{n}", f"c{min(parent, n - 1)}") for n, parent in enumerate(parents)))
    order = feeding_order(circuits)
    assert sorted(order) == sorted(circuits)
    places = {name: place for place, name in enumerate(order)}
    for circuit in circuits.values():
        feeder = feeder_of(circuit, circuits)
        assert not feeder or places[feeder] < places[circuit.name]


def test_long_chains_of_feeds_need_no_recursion() -> None:
    circuits = chain(*((f"c{n}", f"c{n - 1}") for n in reversed(range(5000))))
    order = feeding_order(circuits)
    assert order[0] == "c0"
    assert len(allowances_percent(circuits, order, 0.4)) == 4999


def test_a_tapped_circuit_may_use_its_share_of_the_tightest_limit_behind_it() -> None:
    circuits = chain(("main", "battery"), ("lamp", "main"), ("horn", "main"), lamp=3.0)
    assert allowances_percent(circuits, feeding_order(circuits), 0.4) == {"main": pytest.approx(1.2)}


def test_a_tapped_circuit_never_exceeds_its_own_limit() -> None:
    circuits = chain(("main", "battery"), ("lamp", "main"), main=0.5)
    assert allowances_percent(circuits, feeding_order(circuits), 0.4) == {"main": 0.5}


def test_a_tap_behind_a_tap_shares_what_is_left() -> None:
    """3 % at the lamp: 1.2 for the first, 0.4 × (3 - 1.2) = 0.72 more for the second, 1.08 left for the lamp."""
    circuits = chain(("main", "battery"), ("panel", "main"), ("lamp", "panel"), lamp=3.0)
    found = allowances_percent(circuits, feeding_order(circuits), 0.4)
    assert found == {"main": pytest.approx(1.2), "panel": pytest.approx(1.92)}


def test_drop_starts_anew_at_the_panel_of_a_feeder() -> None:
    circuits = chain(("main", "battery"), ("lamp", "main"))
    assert tapped_by(circuits["lamp"], circuits) == "main"
    circuits["main"] = looms.circuit("main", feed="battery", kind=Kind.FEEDER)
    assert tapped_by(circuits["lamp"], circuits) == ""
    assert allowances_percent(circuits, feeding_order(circuits), 0.4) == {}
