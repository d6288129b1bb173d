"""Tables on paper: header repeated on every page, a row never split, figures at the right."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from reportlab.platypus import Flowable, Table, TableStyle

from circuits.paper.flow import Words
from circuits.paper.fonts import PLAIN, font
from circuits.paper.styles import CELL, CELL_HEAD, HAIR, INK, RULE, Align, TextStyle

_PAD_X_PT = 4.0
_PAD_Y_PT = 2.5
Cell = str | Flowable


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Parameters
    ----------
    head : str
    share : float
        Of the width, against the other columns.
    align : Align
    is_bold : bool
    """

    head: str
    share: float = 1.0
    align: Align = Align.LEFT
    is_bold: bool = False


def rows(
    columns: Sequence[Column],
    cells: Sequence[Sequence[Cell]],
    *,
    width_pt: float,
    footer: Sequence[Sequence[Cell]] = (),
    with_next: Collection[int] = (),
    style: TextStyle = CELL,
) -> Flowable:
    """A table over ``width_pt``.

    Parameters
    ----------
    columns : sequence of Column
    cells : sequence of rows
        A row holds one cell a column: text, or anything that flows.
    width_pt : float
    footer : sequence of rows
        Sums, in bold under a line; kept with the last row.
    with_next : collection of int
        Indices of rows that stay on the page of the row after them: headings within the table.
    style : TextStyle
        Of the cells.

    Raises
    ------
    ValueError
        If a row has not one cell a column.

    Examples
    --------
    >>> table = rows([Column("Load", 2), Column("Current", 1, Align.RIGHT)], [["horn", "5.0 A"]], width_pt=300.0)
    >>> table.repeatRows, table.splitInRow
    (1, 0)
    """
    for row in (*cells, *footer):
        if len(row) != len(columns):
            raise ValueError(f"a row of {len(row)} cells in a table of {len(columns)} columns")
    head = [Words(column.head, replace(CELL_HEAD, align=column.align)) for column in columns]
    body = [[_cell(cell, column, style) for cell, column in zip(row, columns, strict=True)] for row in cells]
    feet = [
        [_cell(cell, replace(column, is_bold=True), style) for cell, column in zip(row, columns, strict=True)]
        for row in footer
    ]
    total = sum(column.share for column in columns)
    table = Table(
        [head, *body, *feet],
        colWidths=[width_pt * column.share / total for column in columns],
        repeatRows=1,
        splitByRow=1,
        splitInRow=0,
        spaceAfter=8,
        hAlign="LEFT",
    )
    table.setStyle(_ruled(len(body), len(feet), with_next))
    return table


def side_by_side(
    cells: Sequence[Sequence[Flowable | Sequence[Flowable]]],
    shares: Sequence[float],
    *,
    width_pt: float,
    is_boxed: bool = False,
    space_pt: tuple[float, float] = (0.0, 0.0),
) -> Flowable:
    """Things beside each other, without rules, or boxed with a rule between columns.

    Parameters
    ----------
    cells : sequence of rows
    shares : sequence of float
        Of the width, one a column.
    width_pt : float
    is_boxed : bool
    space_pt : (float, float)
        Above and below.

    Examples
    --------
    >>> side_by_side([[Words("for"), Words("vehicle")]], (1, 3), width_pt=400.0).wrap(400.0, 500.0)[0]
    400.0
    """
    pad_x, pad_y = (8.0, 5.0) if is_boxed else (0.0, 0.0)
    table = Table(
        [[cell if isinstance(cell, Flowable) else list(cell) for cell in row] for row in cells],
        colWidths=[width_pt * share / sum(shares) for share in shares],
        hAlign="LEFT",
        spaceBefore=space_pt[0],
        spaceAfter=space_pt[1],
    )
    commands = [*_plain(pad_x, pad_y), ("VALIGN", (0, 0), (-1, -1), "TOP"), ("ALIGN", (-1, 0), (-1, -1), "RIGHT")]
    if is_boxed:
        commands += [("BOX", (0, 0), (-1, -1), 0.7, INK), ("LINEAFTER", (0, 0), (-2, -1), 0.5, RULE)]
    table.setStyle(TableStyle(commands))
    return table


def _plain(pad_x_pt: float, pad_y_pt: float) -> list[Any]:
    """Our own typeface also where nothing is lettered: else a table asks for one that is not embedded."""
    return [
        ("FONT", (0, 0), (-1, -1), font(PLAIN).fontName),
        ("LEFTPADDING", (0, 0), (-1, -1), pad_x_pt),
        ("RIGHTPADDING", (0, 0), (-1, -1), pad_x_pt),
        ("TOPPADDING", (0, 0), (-1, -1), pad_y_pt),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad_y_pt),
    ]


def _cell(cell: Cell, column: Column, style: TextStyle) -> Flowable:
    if isinstance(cell, str):
        return Words(cell, replace(style, align=column.align, is_bold=column.is_bold or style.is_bold))
    return cell


def _ruled(body: int, feet: int, with_next: Collection[int]) -> TableStyle:
    commands: list[Any] = [
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("VALIGN", (0, 1), (-1, -1), "TOP"),
        *_plain(_PAD_X_PT, _PAD_Y_PT),
        ("LINEBELOW", (0, 0), (-1, 0), 0.6, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, HAIR),
        ("LINEBELOW", (0, -1), (-1, -1), 0.5, RULE),
    ]
    commands += [("NOSPLIT", (0, index + 1), (-1, index + 2)) for index in with_next if index + 1 < body]
    if feet:
        commands.append(("LINEABOVE", (0, body + 1), (-1, body + 1), 0.6, INK))
        commands.append(("NOSPLIT", (0, max(body, 1)), (-1, -1)))
    return TableStyle(commands)
