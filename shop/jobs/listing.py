"""One way to show a list: searched, sorted, paged, or taken away as CSV. A page costs a fixed number of queries."""

from __future__ import annotations

import csv
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django_tables2 import RequestConfig

from circuits.paper.title_block import TitleBlock
from circuits.sheets.neutral import guarded
from shop.jobs.sheet_table import SheetTable, UncountedPages

PER_PAGE = 25


def listing(
    request: HttpRequest,
    table_class: type[SheetTable],
    rows: QuerySet[Any],
    *,
    title: str,
    template: str,
    **context: Any,
) -> HttpResponse:
    """Answer a list page, or its CSV where the address says ``?as=csv``.

    Parameters
    ----------
    request : HttpRequest
    table_class : type of SheetTable
    rows : QuerySet
        Already searched and filtered.
    title, template : str
    context
        More for the template.
    """
    table = table_class(rows)  # with the request it would page, and count, by itself
    if request.GET.get("as") == "csv":
        table.order_by = request.GET.get("sort", table.order_by)
        return as_csv(table, title)
    RequestConfig(request, paginate={"per_page": PER_PAGE, "paginator_class": UncountedPages}).configure(table)
    return render(request, template, {"table": table, "sheet": TitleBlock(title), **context})


def as_csv(table: SheetTable, title: str) -> HttpResponse:
    """The whole table as CSV, with no cell that a spreadsheet would run."""
    answer = HttpResponse(content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{title.lower()}.csv"'
    answer.write("\ufeff")
    writer = csv.writer(answer)
    for row in table.as_values():
        writer.writerow([guarded("" if value is None else str(value)) for value in row])
    return answer
