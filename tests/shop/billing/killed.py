"""Run as a program: issues invoices for the job whose key is given, and dies where it is told to.

``killed.py JOB WHERE``: WHERE is ``never`` (issue one and end), ``always`` (issue until somebody kills it), or the name
of a point inside the issue at which the process ends on the spot, as in a power cut.
"""

from __future__ import annotations

import os
import sys
from typing import Any

POINTS = ("numbered", "stored", "balanced", "queued", "committed")


def main(job_id: int, where: str) -> None:
    """Issues, and dies at ``where``."""
    import django

    django.setup()
    from django.db import transaction

    from shop.billing import services
    from shop.billing.models import Document
    from shop.jobs.models import Job
    from tests.shop.billing import cast

    def dying(after: Any) -> Any:
        def run(*args: Any, **kwargs: Any) -> Any:
            after(*args, **kwargs)
            os._exit(9)

        return run

    named = {"numbered": "next_number", "balanced": "_keep", "queued": "enqueue"}
    if where in named:
        setattr(services, named[where], dying(getattr(services, named[where])))
    elif where == "stored":
        setattr(Document, "save", dying(Document.save))  # noqa: B010
    elif where == "committed":
        setattr(services, "enqueue", lambda *_: transaction.on_commit(lambda: os._exit(9)))  # noqa: B010
    job = Job.objects.select_related("customer", "vehicle").get(pk=job_id)
    cast.issue(job)
    while where == "always":
        print("issued", flush=True)
        cast.issue(job)


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2])
