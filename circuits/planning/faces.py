"""How each column of the plan's lists meets the person at the keyboard: label, place in line, what it completes to."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.sheets.columns import Column


@dataclass(frozen=True, slots=True)
class Face:
    """One column on the page.

    Parameters
    ----------
    label : str
    words : str
        List that it completes to: ``places``, ``feeds`` and so on; empty for none. Columns of one list share words.
    provides : str
        List that its own words belong to, where that is another: a circuit's name is a feed.
    is_main : bool
        False for a column seldom used, folded away at first.
    hands_down : bool
        True where a new row takes over the text of the row above.
    takes_first : bool
        True where what is typed is completed to the first word that fits, as new words are rare.
    wide : int
        Width [characters].
    """

    label: str
    words: str = ""
    provides: str = ""
    is_main: bool = True
    hands_down: bool = False
    takes_first: bool = False
    wide: int = 9


_PLACE = "places"

FACES: dict[str, dict[str, Face]] = {
    "circuits": {
        "circuit": Face("Circuit", provides="feeds", wide=16),
        "section": Face("Section", words="sections", hands_down=True, wide=11),
        "disposition": Face("Disposition", is_main=False, wide=9),
        "feed": Face("Feed", words="feeds", hands_down=True, takes_first=True, wide=10),
        "fed_at": Face("Fed at", words=_PLACE, hands_down=True, takes_first=True, wide=11),
        "switch_at": Face("Switch at", words=_PLACE, takes_first=True, wide=11),
        "switch": Face("Switch", words="switches", wide=15),
        "relay_at": Face("Relay at", words=_PLACE, takes_first=True, wide=11),
        "load": Face("Load", words="loads", wide=13),
        "load_at": Face("Load at", words=_PLACE, takes_first=True, wide=16),
        "load_a": Face("A each", wide=8),
        "load_w": Face("W each", wide=8),
        "kind": Face("Kind", wide=9),
        "duty": Face("Duty", is_main=False, wide=10),
        "return": Face("Return", is_main=False, wide=8),
        "ground_at": Face("Ground at", words=_PLACE, takes_first=True, is_main=False, wide=11),
        "max_drop_percent": Face("Drop limit %", is_main=False, wide=7),
        "safety": Face("Safety", is_main=False, wide=6),
        "colour": Face("Colour", words="colours", is_main=False, wide=7),
        "size": Face("Size", words="sizes", is_main=False, wide=8),
        "fuse_a": Face("Fuse A", is_main=False, wide=6),
        "fuse_family": Face("Fuse family", is_main=False, wide=10),
        "switch_a": Face("Switch A", is_main=False, wide=7),
        "relay_a": Face("Relay A", is_main=False, wide=6),
        "notes": Face("Notes", is_main=False, wide=20),
    },
    "runs": {
        "from": Face("From", words=_PLACE, wide=16),
        "to": Face("To", words=_PLACE, wide=16),
        "length": Face("Length m", wide=10),
        "zone": Face("Zone", words="zones", hands_down=True, takes_first=True, wide=12),
        "covering": Face("Covering", hands_down=True, wide=10),
        "opening_mm": Face("Opening mm", wide=11),
        "moves": Face("Moves", wide=6),
        "notes": Face("Notes", wide=20),
    },
    "zones": {
        "zone": Face("Zone", provides="zones", wide=18),
        "ambient_c": Face("Ambient °C", wide=9),
    },
    "connectors": {
        "connector": Face("Connector", provides="connectors", wide=14),
        "place": Face("Place", words=_PLACE, hands_down=True, takes_first=True, wide=14),
        "series": Face("Series", words="series", hands_down=True, wide=12),
        "half": Face("Half", wide=7),
        "ways": Face("Ways", wide=5),
        "keying": Face("Key", words="keys", wide=6),
        "mates_with": Face("Mates with", words="connectors", takes_first=True, wide=14),
        "body_mm": Face("Body mm", is_main=False, wide=7),
        "wire_min": Face("Wire from", words="sizes", is_main=False, hands_down=True, wide=9),
        "wire_max": Face("Wire to", words="sizes", is_main=False, hands_down=True, wide=9),
        "contact_a": Face("Contact A", is_main=False, hands_down=True, wide=8),
        "in_loom": Face("In loom", wide=7),
        "notes": Face("Notes", wide=20),
    },
    "cavities": {
        "connector": Face("Connector", words="connectors", hands_down=True, takes_first=True, wide=16),
        "cavity": Face("Cavity", wide=8),
        "circuit": Face("Circuit", words="circuits", takes_first=True, wide=18),
        "holds": Face("Holds", wide=7),
        "colour": Face("Own colour", words="colours", wide=9),
        "notes": Face("Notes", wide=20),
    },
    "mountings": {
        "part": Face("Part", provides="parts", wide=16),
        "place": Face("Place", words=_PLACE, takes_first=True, wide=14),
        "hides": Face("Hides", words="hidden", wide=26),
        "wired_first": Face("Wired first", wide=9),
        "notes": Face("Notes", wide=20),
    },
    "positions": {
        "panel": Face("Panel", words=_PLACE, hands_down=True, takes_first=True, wide=14),
        "position": Face("Position", wide=8),
        "bus": Face("Bus", words="buses", hands_down=True, takes_first=True, wide=11),
        "family": Face("Family", hands_down=True, wide=11),
        "max_a": Face("Up to A", wide=7),
        "circuit": Face("Kept for", words="circuits", takes_first=True, wide=18),
    },
    "vehicle": {
        "description": Face("Description"),
        "system_v": Face("System voltage"),
        "battery_cca_a": Face("Battery, cold cranking A"),
        "battery_ah": Face("Battery, Ah"),
        "alternator_a": Face("Alternator at cruise, A"),
        "alternator_idle_a": Face("Alternator at idle, A"),
        "chassis_return": Face("Body carries the return"),
        "chassis_resistance_mohm": Face("Body, mΩ between ground points"),
    },
}


def label_of(sheet: str, name: str) -> str:
    """Label of a column: ``Fed at``.

    Examples
    --------
    >>> label_of("circuits", "fed_at")
    'Fed at'
    """
    face = FACES[sheet].get(name)
    return face.label if face else name.replace("_", " ").capitalize()


def help_of(sheet: str, column: Column) -> str:
    """Help for people, in which other columns are called by their labels.

    Examples
    --------
    >>> from circuits.sheets.columns import COLUMNS
    >>> help_of("circuits", COLUMNS["circuits"]["load_a"])
    'Current of each load, in amperes. Either this or “W each”.'
    """
    words = (
        f"“{label_of(sheet, word.rstrip('.'))}”." if word.rstrip(".") in FACES[sheet] and "_" in word else word
        for word in column.help.split(" ")
    )
    return " ".join(words)


def described(sheet: str, column: Column) -> dict[str, object]:
    """A column as the grid in the browser is told of it. A column without a face of its own is folded away."""
    face = FACES[sheet].get(column.name) or Face(label_of(sheet, column.name), is_main=False)
    meaning = f" Blank: {column.default}." if column.default else ""
    return {
        "name": column.name,
        "label": face.label,
        "help": help_of(sheet, column) + meaning,
        "required": column.required,
        "choices": list(column.choices) or None,
        "list": face.words,
        "provides": face.provides,
        "many": column.is_list,
        "main": face.is_main,
        "inherit": face.hands_down,
        "first": face.takes_first or bool(column.choices),
        "figure": column.is_number,
        "wide": face.wide,
    }
