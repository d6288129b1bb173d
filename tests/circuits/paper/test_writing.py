"""Lines: they fit, nothing is lost, scripts keep their order."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from circuits.paper.fonts import BOLD, PLAIN, WIDE, runs, text_width_pt
from circuits.paper.writing import cleaned, cut_to, one_line, written

SCRIPTS = "abc déf ŁŻ αβγ ЖЩ 電気 12 -/,()"


@given(st.text(alphabet=SCRIPTS, max_size=120), st.floats(30.0, 300.0))
def test_lines_fit_and_hold_every_character(text: str, width: float) -> None:
    lines = written(text, 9.0, width)
    assert all(line.width_pt <= width + 1e-6 for line in lines)
    assert "".join(line.text for line in lines).replace(" ", "") == cleaned(text).replace(" ", "")


@given(st.text(alphabet=SCRIPTS, max_size=200), st.integers(1, 4))
def test_no_more_lines_than_asked_for(text: str, most: int) -> None:
    lines = written(text, 9.0, 60.0, max_lines=most)
    assert len(lines) <= most
    assert all(line.width_pt <= 60.0 for line in lines)


@given(st.text(max_size=80))
def test_any_text_can_be_written(text: str) -> None:
    assert written(text, 9.0, 80.0)


def test_a_column_narrower_than_a_letter_still_ends() -> None:
    assert [line.text for line in written("WW", 9.0, 1.0)] == ["W", "W"]


def test_line_ends_part_paragraphs() -> None:
    assert [line.text for line in written("a\r\nb\n\nc", 9.0, 100.0)] == ["a", "b", "", "c"]


def test_wide_scripts_break_between_characters() -> None:
    lines = written("電気自動車整備工場", 9.0, 40.0)
    assert len(lines) > 1
    assert "".join(line.text for line in lines) == "電気自動車整備工場"


def test_right_to_left_paragraph_stands_at_the_right() -> None:
    (line,) = written("שלום abc", 9.0, 200.0)
    assert line.is_rtl
    assert line.text.startswith("abc")


def test_left_to_right_paragraph_with_a_hebrew_name_stays_left() -> None:
    (line,) = written("for דוד", 9.0, 200.0)
    assert not line.is_rtl
    assert line.text.startswith("for ")


def test_right_to_left_text_is_ordered_line_by_line() -> None:
    text = "אחת שתים שלוש ארבע חמש"
    first = written(text, 9.0, 60.0)[0].text
    assert "תחא" in first


def test_each_character_goes_to_a_typeface_that_has_it() -> None:
    assert [run.font for run in runs("aŁ電", is_bold=True)] == [BOLD, WIDE]
    assert runs("") == ()
    assert runs("\U000f0000")[0].font == PLAIN


def test_cut_text_fits_with_its_ellipsis() -> None:
    cut = cut_to("left headlamp low beam", 9.0, 50.0)
    assert cut.endswith("…")
    assert text_width_pt(cut, 9.0) <= 50.0


def test_one_line_takes_line_ends_for_spaces() -> None:
    assert one_line("a\nb", 9.0, 100.0).text == "a b"
