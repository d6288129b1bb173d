"""How big an uploaded sheet may be, and what a cell may hold. Beyond these nothing is read."""

from __future__ import annotations

MAX_FILE_BYTES = 5 * 1024 * 1024
"""Largest file taken."""

MAX_UNPACKED_BYTES = 20 * 1024 * 1024
"""Largest sum of all parts of a workbook or zip once unpacked."""

MAX_PACKING_RATIO = 200
"""Most times a part of at least ``MIN_RATIO_BYTES`` may grow on unpacking; text tables grow 5 to 60 times."""

MIN_RATIO_BYTES = 1024 * 1024
"""Parts that stay below this unpacked are not held to the ratio."""

MAX_ZIP_PARTS = 200
"""Most files within a workbook or zip."""

MAX_XML_TAGS = 1_000_000
"""Most tags in the parts of a workbook; the largest sheet allowed has about half of that."""

MAX_CIRCUITS = 2_000
"""Most circuit rows."""

MAX_RUNS = 5_000
"""Most run rows."""

MAX_CONNECTORS = 1_000
"""Most connector rows, and most positions of panels."""

MAX_CAVITIES = 5_000
"""Most cavity rows."""

MAX_WAYS = 500
"""Most cavities of one body."""

MAX_OTHER_ROWS = 500
"""Most rows of the other sheets."""

MAX_COLUMNS = 100
"""Most filled columns of a sheet; the largest of ours has about a quarter of that."""

MAX_UNKNOWN_NAMES = 50
"""Most unknown sheets, or unknown columns of one sheet, that are named one by one."""

MAX_CELL_CHARACTERS = 500
"""Longest text of one cell."""

MAX_CURRENT_A = 10_000.0
MAX_POWER_W = 1_000_000.0
MAX_CAPACITY_AH = 10_000.0
MAX_LENGTH_M = 1_000.0
MAX_OPENING_MM = 1_000.0
MAX_RESISTANCE_OHM = 1_000.0
MIN_QUANTITY = 1e-6
"""Range of quantities that a vehicle can have: a slip of the keyboard is told from a figure."""

MAX_SHOWN_CHARACTERS = 80
"""A value found is quoted up to here in a fault."""
