"""What a paper is made from: the issued record, taken down to plain data that can cross to a worker."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from heaterapp.rules import asked_only
from heaterapp.rules.report import forces
from heaterapp.sheet.older import whole

NAMES = {"certificate": "certificate", "correction_list": "correction-list", "findings_report": "findings"}
"""Kind -> how its file's name begins."""
KINDS = tuple(NAMES)


def identifier(content_digest: str, number: str, revision: int, name: str) -> bytes:
    """Return what names a file of a record to readers of PDF: 32 hex digits, other ones for each `name`."""
    whole_name = json.dumps([content_digest, number, revision, name]).encode()
    return hashlib.sha256(whole_name).hexdigest()[:32].encode()


class NotReady(ValueError):
    """A certificate was asked for while a rule fails, is unanswered or broke. The text names them."""


@dataclass(frozen=True)
class FiledPhoto:
    """A photo of the record; `body` is its JPEG bytes, empty for one that is not to be printed."""

    kind: str
    note: str
    chosen: bool
    taken_at: str
    sha256: str
    body: bytes


@dataclass(frozen=True)
class Filed:
    """One issued record. `job`, `report` and `signature` are its canonical JSON bytes."""

    kind: str
    number: str
    revision: int
    replaces_number: str
    issued_at: str
    issued_by: dict[str, Any]
    organisation: dict[str, Any]
    job: bytes
    report: bytes
    signature: bytes | None
    context: dict[str, Any]
    reason: str
    ruleset_digest: str
    ruleset_version: str
    previous_head: str
    content_digest: str
    check_code: str
    photos: tuple[FiledPhoto, ...] = ()
    logo: bytes = b""
    """A small JPEG that stands at the head, or nothing."""

    @classmethod
    def of(cls, record: Any) -> Filed:
        """Take from the archive's record all that the papers show; nothing else is ever looked at."""
        if isinstance(record, Filed):
            return record
        return cls(
            kind=record.kind,
            number=record.number,
            revision=record.revision,
            replaces_number=record.replaces_number or "",
            issued_at=record.issued_at,
            issued_by=_plain(record.issued_by),
            organisation=_plain(record.organisation_snapshot),
            job=bytes(record.job),
            report=bytes(record.report),
            signature=None if record.signature is None else bytes(record.signature),
            context=_plain(record.context),
            reason=record.reason or "",
            ruleset_digest=record.ruleset_digest,
            ruleset_version=record.ruleset_version,
            previous_head=record.previous_head,
            content_digest=record.content_digest,
            check_code=record.check_code,
            photos=tuple(_photo(one) for one in getattr(record, "photos", ())),
            logo=bytes(getattr(record, "logo", None) or b""),
        )

    @property
    def settings(self) -> dict[str, Any]:
        """The firm's settings as the record kept them."""
        return self.organisation.get("settings") or {}

    def answers(self) -> dict[str, Any]:
        """The answers to what the job asks; what was left over from before stays in the record alone."""
        return asked_only(json.loads(self.job))

    def judged(self) -> dict[str, Any]:
        """The report as plain data.

        raises  NotReady for a certificate whose report does not allow one, whatever its
                own `outcome` says
        """
        report = whole(json.loads(self.report))
        if self.kind not in KINDS:
            raise ValueError(f"kind: expected one of {', '.join(KINDS)}, not {self.kind!r}")
        if self.kind == "certificate":
            bars = [
                f"{one['check']} ({one['verdict']})" for one in report["findings"] if bars_certificate(one)
            ]
            if bars or report["outcome"] != "ready":
                named = ", ".join(bars) or f"outcome {report['outcome']}"
                raise NotReady(f"No certificate can be printed for {self.number}: {named}")
        return report


def bars_certificate(finding: Mapping[str, Any]) -> bool:
    """Whether this finding alone forbids a certificate: a rule that broke, is open, or fails unaccepted."""
    return forces(finding["kind"], finding["verdict"], finding.get("accepted")) != "ready"


def _photo(given: Any) -> FiledPhoto:
    return FiledPhoto(
        kind=str(given.kind),
        note=str(given.note or ""),
        chosen=bool(given.chosen),
        taken_at=str(given.taken_at or ""),
        sha256=given.sha256,
        body=bytes(given.body) if given.chosen else b"",
    )


def _plain(mapping: Mapping[str, Any] | None) -> dict[str, Any]:
    if not mapping:
        return {}
    plain: dict[str, Any] = json.loads(json.dumps(dict(mapping), default=dict, sort_keys=True))
    return plain
