"""The bench calculator and the build rules."""

from __future__ import annotations

from dataclasses import fields

import pytest
from django.urls import reverse

from circuits.electrical.single import SingleLoad, size_single
from circuits.plan import Duty, Return
from circuits.planning.bench import BenchForm
from circuits.planning.rules import build_rules
from circuits.planning.rules_form import FIGURES, BuildRulesForm
from circuits.rules import BuildRules, ColourBy, Series
from tests.circuits.planning.cast import client_of, form_of

pytestmark = pytest.mark.django_db


def test_address_alone_gives_size_fuse_and_why() -> None:
    answer = client_of("technician").get(reverse("planning:bench"), {"load": "55 W", "length": "10 ft", "drop": "3"})
    result = answer.context["result"]
    expected = size_single(SingleLoad(length_m=3.048, load_w=55.0, max_drop_percent=3.0))
    assert result.wire.conductor.label == expected.wire.conductor.label
    assert result.why in answer.content.decode()


def test_every_field_reaches_the_engine() -> None:
    asked = {
        "load": "4 A", "length": "250 cm", "system_v": "24", "return_by": "wired", "duty": "intermittent",
        "ambient": "engine bay", "bundle": "7", "drop": "2 %", "fuse_family": "mini blade", "fuse_a": "10",
        "size": "12 awg",
    }  # fmt: skip
    form = BenchForm(asked)
    assert form.is_valid(), form.errors
    load = form.load_asked
    assert load is not None
    assert (load.load_a, load.length_m, load.system_v, load.ambient_c, load.bundle) == (4.0, 2.5, 24.0, 85.0, 7)
    assert (load.return_by, load.duty, load.max_drop_percent) == (Return.WIRED, Duty.INTERMITTENT, 2.0)
    assert (load.fuse_family, load.fuse_a, load.size) == ("mini blade", 10.0, "12 AWG")


def test_only_the_result_comes_back_while_typing() -> None:
    answer = client_of("technician").get(
        reverse("planning:bench"), {"load": "5", "length": "2"}, headers={"HX-Request": "true"}
    )
    assert answer.content.decode().lstrip().startswith('<section id="bench-result"')


@pytest.mark.parametrize(
    ("field", "text", "expected"),
    [
        ("load", "much", "4.6 A or 55 W"),
        ("length", "-3", "0"),
        ("ambient", "hot", "85 °C"),
        ("bundle", "none", "a count of wires"),
        ("drop", "200", "50"),
        ("size", "fat", "14 AWG"),
        ("system_v", "48", "valid choice"),
    ],
)
def test_what_cannot_be_read_is_told_with_what_is_expected(field: str, text: str, expected: str) -> None:
    asked = {"load": "5", "length": "2", field: text}
    answer = client_of("technician").get(reverse("planning:bench"), asked)
    assert answer.status_code == 200
    assert expected in answer.content.decode()
    assert "result" not in answer.context


def test_rules_form_has_a_field_for_every_rule() -> None:
    known = {f.name for part in fields(BuildRules) for f in fields(getattr(BuildRules(), part.name))}
    shown = set(BuildRulesForm(None, BuildRules()).fields) - {"sizes_awg", "sizes_mm2"} | {"sizes"}
    assert known == shown


def test_rules_sent_as_shown_are_the_rules_stored() -> None:
    client = client_of("owner")
    address = reverse("planning:rules")
    assert client.post(address, form_of(client, address)).status_code == 302
    assert build_rules() == BuildRules()


def test_rules_are_stored_in_the_units_of_the_core() -> None:
    client = client_of("owner")
    address = reverse("planning:rules")
    data = form_of(client, address) | {
        "series": "mm²", "sizes_mm2": ["1 mm²", "2.5 mm²"], "insulation_class_c": "105", "continuous_share": "80",
        "contact_ohm": "2.5", "end_allowance_m": "6 in", "slack_ratio": "10 %", "colour_by": ColourBy.NET.value,
    }  # fmt: skip
    assert client.post(address, data).status_code == 302
    rules = build_rules()
    assert (rules.sizing.series, rules.sizing.sizes) == (Series.MM2, ("1 mm²", "2.5 mm²"))
    assert (rules.sizing.insulation_class_c, rules.sizing.continuous_share) == (105, 0.8)
    assert rules.sizing.contact_ohm == pytest.approx(0.0025)
    assert rules.lengths.end_allowance_m == pytest.approx(0.1524)
    assert rules.lengths.slack_ratio == 0.1
    assert rules.colours.colour_by is ColourBy.NET


@pytest.mark.parametrize("name", [*FIGURES, "series", "insulation_class_c", "fuse_family", "ampacity_by", "colour_by"])
def test_rule_that_makes_no_sense_is_refused_and_nothing_stored(name: str) -> None:
    client = client_of("owner")
    address = reverse("planning:rules")
    answer = client.post(address, form_of(client, address) | {name: "-5000"})
    assert answer.status_code == 200
    assert answer.context["form"].errors
    assert build_rules() == BuildRules()


@pytest.mark.parametrize("role", ["office", "technician"])
def test_only_the_owner_sets_the_rules(role: str) -> None:
    assert client_of(role).get(reverse("planning:rules")).status_code == 403


def test_old_fuse_gives_the_blade_that_protects_as_well_and_says_when_the_load_needs_more() -> None:
    client, asked = client_of("technician"), {"old-kind": "length-graded glass", "old-rating": "14"}
    assert client.get(reverse("planning:bench"), asked).context["new_fuse"].fit_a == 10.0
    answer = client.get(reverse("planning:bench"), asked | {"old-load": "9"})
    assert answer.context["new_fuse"].fit_a == 15.0
    assert "only with wires that stand a 15 A fuse" in answer.content.decode()


def test_old_lamp_gives_the_led_of_its_light() -> None:
    answer = client_of("technician").get(reverse("planning:bench"), {"lamp-name": "p21w"})
    assert answer.context["led"].led_w < 10
    assert "LED of its light" in answer.content.decode()


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ({"old-kind": "length-graded glass", "old-rating": "much"}, "expected a current"),
        ({"old-kind": "length-graded glass", "old-rating": "-3"}, "above 0"),
        ({"old-kind": "length-graded glass", "old-rating": ""}, "required"),
        ({"old-kind": "cork", "old-rating": "5"}, "valid choice"),
        ({"lamp-name": "candle"}, "no lamp"),
    ],
)
def test_old_parts_that_cannot_be_read_are_told(asked: dict[str, str], expected: str) -> None:
    answer = client_of("technician").get(reverse("planning:bench"), asked)
    assert answer.status_code == 200
    assert expected in answer.content.decode()


def test_a_bench_with_nothing_on_it_has_no_faults() -> None:
    assert 'class="fault' not in client_of("technician").get(reverse("planning:bench")).content.decode()
