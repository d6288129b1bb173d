"""A paper is made once and kept. Several processes may ask at the same moment: one stays, and all get that one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar

from django.db import IntegrityError, models, transaction

Paper = TypeVar("Paper", bound=models.Model)


def made_once(model: type[Paper], make: Callable[[], bytes], *, at: datetime, **of: Any) -> Paper:
    """The paper of what ``of`` names; made by ``make`` where there is none yet.

    Parameters
    ----------
    model : type of Model
        Rows with ``pdf`` and ``made_at``, at most one for what ``of`` names.
    make : callable
        The PDF, from what was frozen. What it raises comes through.
    at : datetime
        Now.
    of
        Fields that name whose paper it is.
    """
    kept = model._default_manager.filter(**of).first()
    if kept is not None:
        return kept
    paper = model(**of, pdf=make(), made_at=at)
    try:
        with transaction.atomic():
            paper.save(force_insert=True)
    except IntegrityError:  # somebody else was quicker
        return model._default_manager.get(**of)
    return paper
