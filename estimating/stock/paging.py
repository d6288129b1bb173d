"""Pages of a list that never count the rows: one look ahead says whether more follow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from django.db.models import QuerySet
from django.http import HttpRequest

PER_PAGE = 50
LAST_PAGE = 10_000

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class ListPage(Generic[T]):
    """One page of a list."""

    rows: Sequence[T]
    number: int
    has_more: bool


def list_page(request: HttpRequest, rows: QuerySet[Any]) -> ListPage[Any]:
    """The page that the address asks for with ``?page=``; the first where it asks for none that could be."""
    text = request.GET.get("page", "1")
    number = int(text) if text.isdecimal() and 0 < int(text) < LAST_PAGE else 1
    first = (number - 1) * PER_PAGE
    found = list(rows[first : first + PER_PAGE + 1])
    return ListPage(found[:PER_PAGE], number, len(found) > PER_PAGE)
