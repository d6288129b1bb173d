"""Texts that a spreadsheet program would run as a formula, made harmless in CSV and taken back on reading.

A leading apostrophe says "text" to spreadsheet programs. The writer puts one before every text that
could run, starts with an apostrophe itself, or would lose blanks at its ends; the reader takes
exactly one off. So what is read is what was written.
"""

from __future__ import annotations

RISKY_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""First characters that some spreadsheet programs take for a formula, the fullwidth ones included."""


def is_risky(text: str) -> bool:
    """True where a spreadsheet program might run the text.

    Examples
    --------
    >>> is_risky("=1+1"), is_risky("tail lamp")
    (True, False)
    """
    return text.startswith(RISKY_STARTS)


def guarded(text: str) -> str:
    """Text as it is written to a CSV cell.

    Examples
    --------
    >>> guarded("=1+1"), guarded("'tis"), guarded("tail lamp")
    ("'=1+1", "''tis", 'tail lamp')
    """
    return "'" + text if is_risky(text) or text.startswith("'") or text != text.strip() else text


def unguarded(cell: str) -> str:
    """Text of a CSV cell; blanks at its ends fall away unless it was guarded.

    Examples
    --------
    >>> unguarded("'=1+1"), unguarded("''tis"), unguarded(" tail lamp ")
    ('=1+1', "'tis", 'tail lamp')
    """
    return cell[1:] if cell.startswith("'") else cell.strip()
