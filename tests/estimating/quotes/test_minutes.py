"""The table of three-point minutes."""

import pytest

from estimating.labour.hours import ThreePoint
from estimating.labour.minutes import DEFAULT_MINUTES
from estimating.quotes.models import MinutesRow
from estimating.quotes.settings_services import save_minutes
from estimating.quotes.store import shop_rules, work_up_plan

URL = "/settings/minutes/"


def _typed(**changed):
    typed = {}
    for index, row in enumerate(DEFAULT_MINUTES.rows):
        for point in ("optimistic", "likely", "pessimistic"):
            typed[f"{point}_{index}"] = str(getattr(row.minutes, f"{point}_min"))
    return typed | changed


def test_own_minutes_are_used_by_the_next_work_up(office, plan):
    before = work_up_plan(plan.pk).hours.total.mean_h
    assert office.post(URL, _typed(optimistic_0="600", likely_0="600", pessimistic_0="600")).status_code == 302
    element = DEFAULT_MINUTES.rows[0].element
    assert shop_rules().minutes.minutes(element) == ThreePoint(600, 600, 600)
    assert shop_rules().minutes.row(element).source == "the shop's own"
    assert work_up_plan(plan.pk).hours.total.mean_h > before


def test_minutes_as_packaged_are_not_stored(office, db):
    office.post(URL, _typed(pessimistic_3="99"))
    office.post(URL, _typed())
    assert not MinutesRow.objects.exists()
    assert shop_rules().minutes == DEFAULT_MINUTES


def test_every_row_that_does_not_rise_is_named_at_once(office, db):
    answer = office.post(URL, _typed(optimistic_0="500", optimistic_5="500"))
    assert answer.status_code == 400
    assert answer.content.decode().count("expected minutes that rise") == 2
    assert not MinutesRow.objects.exists()


@pytest.mark.parametrize("value", ["", "x", "-1", "NaN", "inf", "1e9"])
def test_what_is_no_time_is_refused(office, db, value):
    assert office.post(URL, _typed(likely_2=value)).status_code == 400
    assert not MinutesRow.objects.exists()


def test_element_dropped_by_a_later_release_does_no_harm(db):
    save_minutes(minutes={"splice": ThreePoint(1, 2, 3)})
    MinutesRow.objects.create(element="polish ashtray", optimistic_min=1, likely_min=1, pessimistic_min=1)
    assert shop_rules().minutes.minutes("splice") == ThreePoint(1, 2, 3)


def test_technician_reads_but_may_not_change(technician, stranger, db):
    page = technician.get(URL).content.decode()
    assert "Survey and set-up" in page
    assert '<input type="text"' not in page
    assert technician.post(URL, _typed()).status_code == 403
    assert stranger.get(URL).status_code == 302
