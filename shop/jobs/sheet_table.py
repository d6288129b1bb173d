"""Tables of a page painted in one pass.

django-tables2 declares the columns, orders, pages and exports. Its rendering asks for the signature of every cell's
function and resolves a template variable for every attribute; a page of 25 rows then costs twice the admin's. Here each
column says once how it turns a record into text, and the rows are put together from that.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import django_tables2 as tables
from django.core.paginator import EmptyPage, Page
from django.urls import reverse
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe
from django_tables2 import LazyPaginator


class Cell(tables.Column):
    """A column painted by a function of the record.

    Parameters
    ----------
    show : callable
        From the record to what the cell says; None and empty text show as nothing.
    opens : str
        URL name of the page that the record's own key opens; empty = no link.
    figure : bool
        True for numbers: right-aligned.
    accessor : str or None
        Field of the record that the column sorts by; None = that of its own name.
    """

    def __init__(
        self, show: Callable[[Any], Any], *, opens: str = "", figure: bool = False, accessor: Any = None, **options: Any
    ) -> None:
        if figure:
            options["attrs"] = {"td": {"class": "figure"}, "th": {"class": "figure"}}
        super().__init__(accessor=accessor, **options)
        self.show, self.opens, self.figure = show, opens, figure

    def value(self, record: Any, **_: Any) -> Any:
        """What the export says."""
        return self.show(record)


class SheetTable(tables.Table):
    """A table of ``Cell`` columns; ``caption`` names it."""

    caption = "Table"

    def painted_head(self) -> SafeString:
        """The header cells; one that sorts links to the list sorted by it, the other way where it is already."""
        return mark_safe("".join(self._header(bound) for bound in self.columns))  # noqa: S308

    def _header(self, bound: Any) -> str:
        text, start = (
            conditional_escape(bound.header),
            f'<th scope="col"{" class=figure" if bound.column.figure else ""}',
        )
        if not bound.orderable:
            return f"{start}>{text}</th>"
        if bound.is_ordered:
            down = bound.order_by_alias.is_descending
            start += f' aria-sort="{"descending" if down else "ascending"}"'
        query = self.request.GET.copy()
        query[self.prefixed_order_by_field] = bound.order_by_alias.next
        return f'{start}><a href="?{conditional_escape(query.urlencode())}">{text}</a></th>'

    def painted_rows(self) -> SafeString:
        """The body rows of the page in hand."""
        painters = [self._painter(bound.column, str(bound.header)) for bound in self.columns]
        records = [row.record for row in self.page.object_list]
        return mark_safe("\n".join(f"<tr>{''.join(p(record) for p in painters)}</tr>" for record in records))  # noqa: S308

    def _painter(self, column: Cell, header: str) -> Callable[[Any], str]:
        """A function that paints the column's cell of a record. Everything of the record's is escaped."""
        start = f'<td data-label="{conditional_escape(header)}"{" class=figure" if column.figure else ""}>'
        show = column.show
        before, _, after = reverse(column.opens, args=[0]).rpartition("0") if column.opens else ("", "", "")

        def paint(record: Any) -> str:
            said = show(record)
            text: str = conditional_escape("" if said is None else said)
            if before:
                text = f'<a href="{before}{record.pk:d}{after}">{text}</a>'
            return f"{start}{text}</td>"

        return paint


class UncountedPages(LazyPaginator):
    """Pages that never count the rows: one look ahead says whether more follow."""

    def page(self, number: Any) -> Page[Any]:
        """The page of that number, in one query."""
        number = self.validate_number(number or 1)
        first = (number - 1) * self.per_page
        rows = list(_each(self.object_list[first : first + self.per_page + 1]))
        if number > 1 and not rows:
            raise EmptyPage("That page contains no results")
        self._num_pages = number + (len(rows) > self.per_page)
        return Page(rows[: self.per_page], number, self)


def _each(rows: Any) -> Iterator[Any]:
    """The rows one by one: ``list(rows)`` would ask their number first, which is a query."""
    yield from rows
