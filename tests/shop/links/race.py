"""Run as a program: many people act by links at once. Prints what came of it as JSON.

The database is that of ``LOOMWRIGHT_TEST_DATABASE_URL``; it must be empty.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any

from tests.servers.races import each_at_once

PEOPLE = 4
ROUNDS = 3
TRIES = 5


def at_once(*acts: Callable[[], Any]) -> list[str]:
    """What each act came to, in the order given."""
    from estimating.quotes.rules import RefusedError
    from shop.handover.rules import RefusedError as NotReleasedError
    from shop.links.rules import ClosedError

    return each_at_once(*acts, ends={RefusedError: "refused", NotReleasedError: "refused", ClosedError: "closed"})


def main() -> dict[str, Any]:
    """All races; the counts of what is left."""
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    return {"links": links(), "tries": tries(), "handover": handovers()}


def links() -> dict[str, Any]:
    """Acceptances of one revision at once; an acceptance and a revocation at once."""
    from django.utils import timezone

    from estimating.quotes.services import send_revision
    from shop.links.models import LinkAct
    from shop.links.services import accept_by_link, make_link, revoke_link
    from tests.shop.links.conftest import job_for

    told: dict[str, Any] = {"accept": [], "booked": [], "revoke": [], "acts": []}
    for number in range(ROUNDS):
        now = timezone.now()
        job = job_for(f"Customer {number}", f"C {number}")
        revision = send_revision(quote=job.quote, by="Otto", at=now)
        doors = [make_link(job=job, days=3, by="Otto", at=now).link for _ in range(PEOPLE)]
        acts = [partial(accept_by_link, link=link, number=1, name=f"P {i}", at=now) for i, link in enumerate(doors)]
        told["accept"].append(sorted(at_once(*acts)))
        revision.refresh_from_db()
        job.refresh_from_db()
        told["booked"].append([job.stage, revision.accepted_name == LinkAct.objects.get(link__job=job).name])
        other = job_for(f"Other {number}", f"O {number}")
        revision = send_revision(quote=other.quote, by="Otto", at=now)
        link = make_link(job=other, days=3, by="Otto", at=now).link
        later = now + timedelta(seconds=1)
        accepted, revoked = at_once(
            partial(accept_by_link, link=link, number=1, name="Ada", at=later),
            partial(revoke_link, link_id=link.pk, by="Otto", at=later),
        )
        revision.refresh_from_db()
        told["revoke"].append([accepted, revoked, revision.state, LinkAct.objects.filter(link=link).count()])
    return told


def tries() -> int:
    """Tries of one visitor, counted by many at once."""
    from django.utils import timezone

    from shop.links.models import LinkTry
    from shop.links.tries import count_try

    now = timezone.now()

    def some() -> None:
        for _ in range(TRIES):
            count_try("visitor", now)

    at_once(*[some] * PEOPLE)
    return LinkTry.objects.get(visitor="visitor").count


def handovers() -> dict[str, Any]:
    """Releases at once; a release and a danger raised at once."""
    from circuits.planning.store import load_plan, replace_plan
    from shop.faults.models import Weight
    from shop.faults.services import Symptom, raise_fault
    from shop.handover.record import read_record
    from shop.handover.services import release_job
    from shop.people.models import Role, User
    from tests.shop.handover.conftest import AT, URL, booked_job, prove

    told: dict[str, Any] = {"release": [], "danger": [], "plan": []}
    owner = User.objects.create_user("wilma", first_name="Wilma", last_name="Lumen", role=Role.OWNER)
    for number in range(1):
        job = booked_job()
        prove(job, owner)
        release = partial(release_job, job_id=job.pk, by=owner, at=AT, job_url=URL, expected=1)
        told["release"].append([sorted(at_once(release, release, release)), job.handovers.count()])
        job = booked_job()
        prove(job, owner)
        danger = Symptom("Brake lamps glow", Weight.DANGER)
        raised = partial(raise_fault, job=job, symptom=danger, by=owner, at=AT, key=f"danger {number}")
        release = partial(release_job, job_id=job.pk, by=owner, at=AT, job_url=URL, expected=1)
        said = at_once(release, raised)
        papers = [[fault.endangers for fault in read_record(one.content).content.faults] for one in job.handovers.all()]
        told["danger"].append([said, papers])
        job = booked_job()
        prove(job, owner)
        accepted = load_plan(job.plan_id)
        less = replace(accepted, circuits=accepted.circuits[:-1])
        edit = partial(replace_plan, plan_id=job.plan_id, plan=less, expected_version=job.plan.version, by="Otto")
        release = partial(release_job, job_id=job.pk, by=owner, at=AT, job_url=URL, expected=1)
        said = at_once(release, edit)
        frozen = [len(read_record(one.content).plan["circuits"]) for one in job.handovers.all()]
        told["plan"].append([said, frozen, len(accepted.circuits)])
    return told


if __name__ == "__main__":
    print(json.dumps(main()))
