"""Correcting a record: which changes are slips in a name, and the wish to issue the next revision of one.

A slip stands in a question that only names somebody or something (`Question.names`). It is put
right without a new signature when the record's own ruleset comes to the same verdicts, found values
and limits with the right answer; anything else is measured, looked at and signed anew. The installer
and the license stand over a signature: they are put right without another only to the name that was
signed. What a paper is found by is never emptied. Knows the rules and the archive's shapes, no web and
no database.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from heaterapp.archive.shapes import Correction, Person, Record, Submission
from heaterapp.issue import facts_of
from heaterapp.judged_again import CannotJudge, judge_with
from heaterapp.rules import CATALOGUE, Job, canonical_bytes

Shown = Callable[[str, Any], str]
COMPARED = ("verdict", "found", "limit")
SIGNED_FOR = ("installer_name", "installer_licence")
"""Who vouches for the work: another name or license than the signer's needs a signature of its own."""
FOUND_BY = (
    "address_street", "address_city", "address_state", "address_zip", "owner_name", "installer_name",
    "heater_serial", "heater_model",
)  # fmt: skip
"""What a paper is found by: a correction may say it otherwise, and never takes it away.

A unit or a permit's number that was another house's may go; without a number a check comes out otherwise.
"""
NOT_EMPTY = "the right one: a paper is found by it, so a correction cannot leave it empty"


class NeedsSignature(ValueError):
    """The change is no slip in a name; the text says why it has to be signed anew."""


def only_names(changes: Mapping[str, Any]) -> bool:
    """Say whether every changed question only names somebody or something.

    >>> only_names({"owner_name": "Mina Park"}), only_names({"owner_name": "X", "heater_serial": "A1"})
    (True, False)
    """
    return all(name in CATALOGUE and CATALOGUE[name].names for name in changes)


def emptied(before: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, str]:
    """Return what of these changes would take away what a paper is found by, with what was expected.

    before   the record's answers
    changes  question -> its right answer, None where there is none

    >>> list(emptied({"owner_name": "Mina", "address_unit": "3"}, {"owner_name": None, "address_unit": None}))
    ['owner_name']
    """
    gone = {name for name in FOUND_BY if name in changes and changes[name] is None}
    return {name: NOT_EMPTY for name in gone if before.get(name) not in (None, "")}


def slip(
    person: Person,
    record: Record,
    changes: Mapping[str, Any],
    reason: str,
    key: str,
    ruleset: bytes,
    shown: Shown,
) -> Submission:
    """Return the wish to issue a record's next revision with a slip put right, unsigned as it is.

    person   who corrects it
    record   the one corrected, with its content
    changes  question -> its right answer as stored, None where there is none
    reason   why, one line
    key      the same one for every repetition of this wish
    ruleset  the zip that is kept beside the record
    shown    (question, stored answer) -> the answer as a person reads it
    raises   NeedsSignature; BadAnswer for answers that do not go together; archive.Invalid later
    """
    before = json.loads(record.job)
    named = [CATALOGUE[name].label for name in changes if not only_names({name: None})]
    if named:
        raise NeedsSignature(f"More than a name is changed: {', '.join(named)}.")
    _refuse_another_signer(record, changes)
    answers = {name: value for name, value in {**before, **changes}.items() if value is not None}
    report = _same_judgement(record, answers, changes, before, ruleset)
    return Submission(
        organisation=record.organisation,
        person=person.id,
        job_id=record.job_id,
        key=key,
        kind=record.kind,
        job=canonical_bytes(answers),
        report=report,
        signature=record.signature,
        ruleset_digest=record.ruleset_digest,
        ruleset_version=record.ruleset_version,
        ruleset_zip=None,
        facts=facts_of(answers, record.facts.installer),
        context={**record.context, "correction": _told(record, changes, before, shown)},
        supersedes=record.id,
        reason=reason,
        photos=record.photos,
        correction=Correction(record.id, dict(changes), {name: before.get(name) for name in changes}),
    )


def _refuse_another_signer(record: Record, changes: Mapping[str, Any]) -> None:
    signed = " ".join(signed_by(record).split()).casefold()
    other = [
        CATALOGUE[name].label
        for name in SIGNED_FOR
        if name in changes
        and (name != "installer_name" or " ".join(str(changes[name]).split()).casefold() != signed)
    ]
    if other:
        says = f"{signed_by(record) or 'Somebody'} signed for what it says now: {', '.join(other)}."
        raise NeedsSignature(f"{says} Another person or license needs a new signature.")


def signed_by(record: Record) -> str:
    """Return the name under a record, through the slips corrected in it since; empty where none is known."""
    carried = record.context.get("correction") or {}
    return str(carried.get("signed_by") or _own_signature(record).get("name") or "")


def _own_signature(record: Record) -> dict[str, Any]:
    signatures = json.loads(record.signature)["signatures"] if record.signature else []
    return next((one for one in signatures if one.get("role") != "homeowner"), {})


def signer_of(record: Record) -> int | None:
    """Return the id of the person who signed a record, through the slips corrected in it since."""
    carried = record.context.get("correction")
    found = carried.get("signer") if carried else record.issued_by.get("id")
    return found if isinstance(found, int) else None


def checked(record: Record, changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return the record's answers with the changes made, once this version reads them together.

    raises  BadAnswer naming the question
    """
    answers = {**json.loads(record.job), **changes}
    return Job({name: value for name, value in answers.items() if value is not None}).canonical()


def _told(
    record: Record, changes: Mapping[str, Any], before: Mapping[str, Any], shown: Shown
) -> dict[str, Any]:
    carried = record.context.get("correction") or {}
    own = _own_signature(record)
    return {
        "corrects": record.number,
        "changes": [
            {
                "question": name,
                "label": CATALOGUE[name].label,
                "old": shown(name, before[name]) if before.get(name) is not None else "",
                "new": shown(name, new) if new is not None else "",
            }
            for name, new in changes.items()
        ],
        "signed_for": carried.get("signed_for", record.number),
        "signed_by": carried.get("signed_by", own.get("name", "")),
        "signed_at": carried.get("signed_at", own.get("at") or record.issued_at),
        "signer": signer_of(record),
    }


def _same_judgement(
    record: Record,
    answers: Mapping[str, Any],
    changes: Mapping[str, Any],
    before: Mapping[str, Any],
    zipped: bytes,
) -> bytes:
    try:
        report = judge_with(zipped, answers)
    except CannotJudge as fault:
        raise NeedsSignature(f"The record's own rules could not judge it again ({fault}).") from fault
    old, new = (json.loads(one) for one in (record.report, report))
    renamed = {(str(before.get(name)), str(value)) for name, value in changes.items()}
    judged = [{one["check"]: one for one in told["findings"]} for told in (old, new)]
    if old["outcome"] != new["outcome"] or judged[0].keys() != judged[1].keys():
        raise NeedsSignature("The record's own rules come to another result with this.")
    for check, one in judged[0].items():
        other = judged[1][check]
        for part in COMPARED:
            if one.get(part) != other.get(part) and (one.get(part), other.get(part)) not in renamed:
                title = str(one.get("title") or check).rstrip(".")
                raise NeedsSignature(f"It changes what was found: {title}.")
    return report
