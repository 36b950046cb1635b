"""From a job's answers to one wish to issue: judge, choose the kind of paper, gather what is kept.

The same steps for a person at the pages and for the demo. Knows the rules and the
archive's shapes, no web and no database.
"""

from __future__ import annotations

from typing import Any

from heaterapp import rules
from heaterapp.archive.checking import JOINERS, LONGEST_FACT
from heaterapp.archive.shapes import Facts, Job, Person, Record, Submission
from heaterapp.filling.signed import NotIssuable, kind_for
from heaterapp.replacing import former_told
from heaterapp.sheet.words import unit_named

NOTHING_SAID = ("not_here", "unknown")
"""Stored words that are no name, number or address of anything."""


def facts_of(answers: dict[str, Any], installer: str) -> Facts:
    """Return what the record can be found by, each in one printable line, however it was pasted.

    >>> facts_of({"address_street": "12\\u00a0N. Oak\\nAve", "address_city": "Port Larkin"}, "").address
    '12 N. Oak Ave, Port Larkin'
    >>> facts_of({"address_street": "12 N. Oak Ave", "address_city": "not_here"}, "").address
    '12 N. Oak Ave'
    """

    def said(name: str) -> str:
        value = answers.get(name)
        return _one_line(value) if isinstance(value, str) and value not in NOTHING_SAID else ""

    street = " ".join(filter(None, (said("address_street"), unit_named(said("address_unit")))))
    state = " ".join(filter(None, (said("address_state"), said("address_zip"))))
    return Facts(
        address=_one_line(", ".join(filter(None, (street, said("address_city"), state)))),
        owner=said("owner_name"),
        serial=said("heater_serial"),
        model=_one_line(" ".join((said("heater_maker"), said("heater_model")))),
        permit=said("permit_number"),
        work_date=said("work_date"),
        installer=said("installer_name") or _one_line(installer),
        place=said("place"),
    )


def _one_line(text: str) -> str:
    seen = "".join(c for c in text if c.isprintable() or c.isspace() or c in JOINERS)
    return " ".join(seen.split())[:LONGEST_FACT].strip(f" {JOINERS}")


def submission(
    person: Person,
    job: Job,
    key: str,
    *,
    check_address: str = "",
    reason: str = "",
    supersedes: int | None = None,
    former: tuple[Record, bool] | None = None,
) -> Submission:
    """Return the wish to issue a job's paper as it stands now.

    person         who issues it
    job            the job, as the archive gave it
    key            one key for one wish: the same one for every repetition
    check_address  where a holder of the paper can check it; printed on it
    former         the newest paper of the job, and whether it is void; the paper says what changed since
    raises         BadAnswer; NotIssuable while the place is open, or when the answers are not
                   the ones that were signed
    """
    if not job.answers.get("place"):
        raise NotIssuable("The place is still to answer, so it is not known which codes apply.")
    if job.signature and not job.signature_is_current:
        raise NotIssuable("The answers changed after they were signed. Look at them and sign again.")
    read = rules.Job(job.answers)
    report = rules.assess(read)
    stored = {**read.canonical(), "place": report.place}
    context: dict[str, Any] = {"check_address": check_address} if check_address else {}
    if former is not None:
        context["replaced"] = former_told(*former, stored)
    return Submission(
        organisation=job.organisation,
        person=person.id,
        job_id=job.id,
        key=key,
        kind=kind_for(stored, report.outcome),
        job=rules.canonical_bytes(stored),
        report=report.to_bytes(),
        signature=rules.canonical_bytes(dict(job.signature)) if job.signature else None,
        ruleset_digest=report.digest,
        ruleset_version=report.version,
        ruleset_zip=rules.ruleset_zip(),
        facts=facts_of(stored, person.name),
        context=context,
        job_revision=job.revision,
        supersedes=supersedes,
        reason=reason,
    )
