"""The permit is issued or applied for.

Why: the work is inspected, insured and sold on the strength of its permit.
Fix: apply to the building department; after an emergency swap, by the next working day.
"""

from ...questions import as_read
from ...report import Result, authority, meets, not_applicable, unanswered

CLAUSES = ("paperwork.permit",)


def check(permit_status: str | None = None, permit_number: str | None = None, job_kind: str | None = None) -> Result:
    if permit_status is None:
        if job_kind == "existing":
            return not_applicable("Somebody else's work, looked over: its permit was not looked up.")
        return unanswered("To answer: the permit.", needs=("permit_status",))
    if permit_status == "not_needed" and job_kind == "existing":
        return not_applicable("Somebody else's work, looked over: to look asks no permit.")
    if permit_status == "not_needed":
        return authority(
            "Said not to be needed: model codes ask a permit for replacing a heater, so have the authority confirm it.",
            "not needed",
            "issued or applied for",
        )
    if permit_status == "issued" and not permit_number and job_kind != "existing":
        return unanswered("To answer: the permit number.", needs=("permit_number",))
    status = as_read("permit_status", permit_status)
    return meets(
        f"Permit {status}{': ' + permit_number if permit_number else ''}.",
        permit_number or status,
        "issued or applied for",
    )
