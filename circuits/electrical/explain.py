"""One line that says why a wire has its size. It reads the limits tried; it computes nothing."""

from __future__ import annotations

from circuits.electrical.heating import HEAT_SOURCE
from circuits.electrical.wording import allowed_text, value_text
from circuits.figures import format_temperature
from circuits.rules import AmpacityBy
from circuits.sized import Limit, SizedWire, Trial


def explain(wire: SizedWire) -> str:
    """Why the wire has its size, in one line.

    Parameters
    ----------
    wire : SizedWire

    Returns
    -------
    str
        Each limit at the chosen size; the one that governed with the figure at the next smaller
        size, where it was broken.

    Examples
    --------
    >>> from circuits.electrical.single import SingleLoad, size_single
    >>> result = size_single(SingleLoad(load_a=9.2, length_m=4.0, ambient_c=85.0, max_drop_percent=5.0))
    >>> explain(result.wire)
    '14 AWG: drop 4.7 % of 5 % (governs at 16 AWG: 7 %); ampacity 25.3 A at 85 °C by heat balance; 15 A fuse'
    """
    chosen, refused = _chosen(wire), _governing(wire)
    parts = [_part(wire, trial, refused) for trial in chosen if _is_told(trial, refused)]
    size = wire.conductor.label
    if wire.governed_by is Limit.FORCED:
        size += ", forced"
    elif refused is None:
        parts.append("smallest in stock")
    return f"{size}: {'; '.join(parts)}"


_ORDER = (Limit.DROP, Limit.AMPACITY, Limit.SHORT_TIME, Limit.FUSE, Limit.MECHANICAL)


def _chosen(wire: SizedWire) -> list[Trial]:
    trials = [trial for trial in wire.tried if trial.size == wire.conductor.label]
    return sorted(trials, key=lambda trial: _ORDER.index(trial.limit))


def _governing(wire: SizedWire) -> Trial | None:
    """The trial that refused the next smaller size; None where nothing smaller was refused."""
    smaller = [trial for trial in wire.tried if trial.size != wire.conductor.label]
    if not smaller:
        return None
    next_smaller = smaller[-1].size
    return next((t for t in smaller if t.size == next_smaller and t.limit is wire.governed_by and not t.ok), None)


def _is_told(trial: Trial, refused: Trial | None) -> bool:
    """The mechanical minimum goes without saying unless it governs or is broken."""
    return trial.limit is not Limit.MECHANICAL or not trial.ok or (refused is not None and refused.limit is trial.limit)


def _part(wire: SizedWire, trial: Trial, refused: Trial | None) -> str:
    value, allowed = value_text(trial), allowed_text(trial)
    text = {
        Limit.DROP: f"drop {value} of {allowed}",
        Limit.AMPACITY: f"ampacity {allowed} at {format_temperature(wire.wire.path.ambient_c)} by {_carried_by(trial)}",
        Limit.SHORT_TIME: f"cranking needs {value} of {allowed}",
        Limit.FUSE: f"{value} fuse",
        Limit.MECHANICAL: f"at least {value}",
    }[trial.limit]
    if not trial.ok:
        text += ", not met"
    if refused is not None and refused.limit is trial.limit:
        broken = value_text(refused) if trial.limit is Limit.DROP else allowed_text(refused)
        text += f" (governs at {refused.size}: {broken})"
    return text


def _carried_by(trial: Trial) -> str:
    """Which of table and heat balance an ampacity comes from."""
    return str(AmpacityBy.HEAT if trial.source == HEAT_SOURCE else AmpacityBy.TABLE)
