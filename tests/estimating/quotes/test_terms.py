"""The shop's terms and take-off allowances."""

from dataclasses import fields
from decimal import Decimal

import pytest

from circuits.cautions import cautions
from estimating.pricing.quote import LineClass
from estimating.quotes.models import TermsRow
from estimating.quotes.store import default_terms, shop_rules, work_up_plan
from estimating.quotes.takeoff_fields import ALLOWANCES
from estimating.takeoff.rules import TakeoffRules

URL = "/settings/terms/"
TYPED = {
    "currency": "GBP", "locale": "en-GB", "rate_per_h": "62.50", "labour_basis": "P50", "condition_cv": "0.25",
    "markup_percent": "40", "sundries_percent": "5", "carriage": "12", "tax_parts_percent": "20",
    "tax_labour_percent": "0", "tax_sundries_percent": "", "tax_carriage_percent": "20", "deposit_percent": "25",
    "validity_days": "14", "exclusions": "Paint.\n\n Trim. ", "cautions": "Mind the dog.",
    "spare_fuses": "3", "spare_positions_percent": "20", "clip_spacing_m": "0.3", "tape_m_per_loom_m": "0.5",
    "tape_width_m": "25", "tape_overlap": "50", "heat_shrink_end_m": "30", "heat_shrink_splice_m": "60",
    "labels_per_wire": "2", "repair_splices": "2", "repair_wire_m": "0.5",
}  # fmt: skip


def test_shop_without_terms_has_the_defaults(db):
    assert shop_rules().terms == default_terms()
    assert shop_rules().terms.exclusions


def test_terms_are_used_from_now_on(owner, plan):
    assert owner.post(URL, TYPED).status_code == 302
    rules = shop_rules()
    assert (rules.terms.currency, rules.terms.locale, rules.terms.rate_per_h) == ("GBP", "en_GB", Decimal("62.50"))
    assert rules.terms.exclusions == ("Paint.", "Trim.")
    assert rules.condition_cv == 0.25
    assert (rules.takeoff.spare_fuses, rules.takeoff.tape_width_m) == (3, 0.025)
    assert work_up_plan(plan.pk).quote.currency == "GBP"


def test_blank_tax_bears_none_and_nought_is_a_rate(owner, db):
    owner.post(URL, TYPED)
    taxes = dict(shop_rules().terms.tax_percent)
    assert LineClass.SUNDRIES not in taxes
    assert taxes[LineClass.LABOUR] == 0


def test_cautions_of_the_trade_cannot_be_taken_away(owner, db):
    owner.post(URL, TYPED | {"cautions": ""})
    assert shop_rules().terms.cautions == cautions()
    owner.post(URL, TYPED)
    assert shop_rules().terms.cautions == (*cautions(), "Mind the dog.")


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("currency", "XYZZ"), ("currency", "ABC"), ("locale", "klingon"), ("rate_per_h", "-1"), ("rate_per_h", "dear"),
        ("labour_basis", "P99"), ("condition_cv", "1.5"), ("tax_parts_percent", "120"), ("deposit_percent", "101"),
        ("validity_days", "0"), ("validity_days", "400"), ("clip_spacing_m", "2"), ("tape_overlap", "95"),
        ("spare_fuses", "-1"), ("spare_fuses", "1.5"), ("exclusions", "x" * 4001),
    ],
)  # fmt: skip
def test_values_out_of_range_are_refused_and_the_rest_kept(owner, db, field, value):
    answer = owner.post(URL, TYPED | {field: value, "carriage": "12.34"})
    assert answer.status_code == 400
    assert "12.34" in answer.content.decode()
    assert not TermsRow.objects.exists()


def test_all_faults_at_once(owner, db):
    page = owner.post(URL, TYPED | {"currency": "XYZ", "tape_overlap": "95"}).content.decode()
    assert page.count('class="field has-fault') == 2


def test_every_allowance_can_be_set():
    assert [field.name for field in ALLOWANCES] == [field.name for field in fields(TakeoffRules)]


def test_page_starts_from_the_stored_terms(owner, db):
    owner.post(URL, TYPED)
    form = owner.get(URL).context["form"]
    assert form.initial["rate_per_h"] == Decimal("62.50")


@pytest.mark.parametrize("role", ["office", "technician"])
def test_only_the_owner_sets_terms(role, request):
    client = request.getfixturevalue(role)
    assert client.get(URL).status_code == 403
    assert client.post(URL, TYPED).status_code == 403
    assert not TermsRow.objects.exists()


def test_stranger_must_log_in(stranger):
    assert stranger.post(URL, TYPED).status_code == 302
