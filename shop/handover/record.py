"""What a release freezes: one JSON text with all that the papers say and the plan that it was worked out from.

Later releases of the product add keys; they never rename one: they read the handovers of today.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from estimating.quotes.frozen import from_data, to_data
from shop.handover.content import HandoverContent

FORMAT = 1


@dataclass(frozen=True)
class HandoverRecord:
    """A handover as frozen; ``plan`` is the circuit sheet as plain JSON values."""

    content: HandoverContent
    plan: dict[str, Any]


def write_record(record: HandoverRecord) -> str:
    """The JSON text of a record; ``read_record`` gives an equal record back."""
    data = {"format": FORMAT, "content": to_data(record.content), "plan": record.plan}
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def read_record(text: str) -> HandoverRecord:
    """The record of a JSON text.

    Raises
    ------
    RecordError
        Where the text is not one that ``write_record`` wrote.
    """
    data = json.loads(text)
    return HandoverRecord(from_data(HandoverContent, data["content"]), data["plan"])
