"""What a job waits for, in the words of the trade, and what to do about it. Pure decisions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from circuits.findings import Severity
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class NextStep:
    """One sentence of what stands, one of what to do, and the page where it is done.

    ``page`` is a URL name of a sheet of the job; empty where the step is not on a page.
    """

    stands: str
    to_do: str
    page: str


def next_step(stage: str, sized: SizedPlan, valid_until: date | None, starts_on: date | None, today: date) -> NextStep:
    """What comes next for a job.

    Parameters
    ----------
    stage : str
        A ``Stage`` value.
    sized : SizedPlan
        Today's plan.
    valid_until : date or None
        Of the revision that is with the customer.
    starts_on : date or None
    today : date

    Returns
    -------
    NextStep

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Plan, Vehicle
    >>> empty = size_plan(Plan(Vehicle(), (), (), ()))
    >>> next_step("survey", empty, None, None, date(2031, 5, 2)).to_do
    'Enter the circuits, or bring them in from a circuit sheet.'
    """
    if stage == "turned_down":
        return NextStep(
            "The customer turned the quote down.", "Send a new revision, or leave it at that.", "quotes:quote"
        )
    if stage == "released":
        return NextStep("Released.", "Its papers are on the handover sheet.", "handover:handover")
    if stage == "booked":
        if starts_on is None:
            return NextStep("Booked.", "Set the planned start.", "jobs:edit")
        when = f"{starts_on.day} {starts_on:%B %Y}"
        if starts_on <= today:
            return NextStep(f"In work since {when}.", "Go on with the work packages.", "floor:work")
        return NextStep(f"Booked, starts {when}.", "Order the parts so that they are here by then.", "quotes:parts")
    if stage == "quoted":
        if valid_until is not None and valid_until < today:
            return NextStep("The quote has run out.", "Send a new revision with today's prices.", "quotes:quote")
        return NextStep(
            "Waiting for the customer's answer.", "When they accept, take it down on the quote.", "quotes:quote"
        )
    if not sized.circuits:
        return NextStep(
            "No circuit yet.", "Enter the circuits, or bring them in from a circuit sheet.", "planning:plan"
        )
    errors = sum(finding.severity is Severity.ERROR for finding in sized.findings)
    if errors:
        noun = "finding needs" if errors == 1 else "findings need"
        return NextStep(f"{errors} {noun} a cure before a quote can go out.", "Open the plan.", "planning:plan")
    return NextStep("The plan is sound.", "Check parts and hours, then send the quote.", "quotes:quote")
