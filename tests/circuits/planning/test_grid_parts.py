"""Parts of the grid that touch no page, run in the browser that will run them."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def call(live_shop: Any) -> Any:
    """Calls a function of a module of the grid."""
    page = live_shop.open(reverse("planning:bench"))

    def run(module: str, function: str, *arguments: Any) -> Any:
        script = f"import('/static/circuits/grid/{module}.js').then((m) => m.{function}(...{json.dumps(arguments)}))"
        return page.evaluate(script)

    return run


def test_block_of_a_spreadsheet_is_read_with_quotes_lines_and_tabs(call: Any) -> None:
    text = 'a\tb\r\n"two\nlines"\t"say ""x"""\n\'=1+1\t  c \n\n'
    assert call("blocks", "readBlock", text) == [["a", "b"], ["two\nlines", 'say "x"'], ["=1+1", "c"]]


def test_block_written_reads_back(call: Any) -> None:
    rows = [["=1+1", "-5", "a\tb"], ['"', "two\nlines", "'tis"], ["", "", "x"]]
    assert call("blocks", "readBlock", call("blocks", "writeBlock", rows)) == rows


def test_words_offered_begin_as_typed_before_they_hold_it(call: Any) -> None:
    words = ["rear panel", "panel", "dash panel left", "span", "nose"]
    assert call("complete", "offers", "PAN", words) == ["panel", "rear panel", "dash panel left", "span"]
    assert call("complete", "offers", "span", words) == ["span"]
    assert call("complete", "offers", "a.*", words) == []


def test_only_the_last_of_several_places_is_completed(call: Any) -> None:
    assert call("complete", "lastPart", {"many": True}, "left lamp; ri") == {"head": "left lamp; ", "part": "ri"}
    assert call("complete", "lastPart", {"many": False}, "a;b") == {"head": "", "part": "a;b"}


def test_result_of_the_bench_comes_as_one_types(live_shop: Any) -> None:
    page = live_shop.open(reverse("planning:bench"))
    page.keyboard.type("55 W")  # the first field has the focus
    page.keyboard.press("Tab")
    page.keyboard.type("3")
    page.locator("#bench-result dd", has_text="AWG").wait_for()
    assert "load=55" in page.url
    assert "length=3" in page.url
    page.keyboard.type("x")
    page.locator("#bench-result", has_text="expected a length").wait_for()
