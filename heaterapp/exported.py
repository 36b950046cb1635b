"""Records as they leave the archive: a row for a spreadsheet, an object with its schema, a ZIP of papers.

The questions' names and the names below are settled: a program that reads an export may rely on them.
"""

from __future__ import annotations

import hashlib
import json
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from heaterapp import exported_desk, rules, sheet_rows
from heaterapp.archive import KINDS, Taken
from heaterapp.archive.export_shapes import Draft
from heaterapp.archive.exporting import Moment
from heaterapp.archive.packing import Packing

FORMAT, VERSION = "heaterapp-records", 2
OWN = (
    "number", "kind", "revision", "state", "issued_at", "replaced_by", "voided_at", "void_reason",
    "erased_at", "job_id", "outcome", "ruleset_version", "ruleset_digest", "content_digest", "previous_head",
    "check_code",
)  # fmt: skip
HASH_HEADS = ("file", "number", "revision", "name", "bytes", "sha256", "state")
CUT_AT = 256_000
_STAMP = {"type": "string", "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$"}
_HEX = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
_TEXT = {"type": "string"}


def heads() -> list[str]:
    """The names of the columns: the record's, every question, what is none of the job's, the desk's."""
    return [*OWN, *rules.CATALOGUE, "other_answers", *exported_desk.HEADS]


def csv_of(records: Iterable[Taken | Draft]) -> Iterator[bytes]:
    """Give the records as CSV, a row each, piece by piece."""
    return sheet_rows.written(heads(), map(_row, records))


def inspections_of(records: Iterable[Taken | Draft]) -> Iterator[bytes]:
    """Give the inspections of these jobs as CSV, a row for each item or inspection without one."""
    return sheet_rows.written(exported_desk.VISIT_HEADS, exported_desk.visit_rows(records))


def lines_of(records: Iterable[Taken | Draft]) -> Iterator[bytes]:
    """Give the records as JSON, one to a line; each is a `record` of the schema."""
    return _gathered(_json(told(one)) + b"\n" for one in records)


def document_of(records: Iterable[Taken | Draft], taken_at: str) -> Iterator[bytes]:
    """Give the records as one JSON document, which the schema describes; `taken_at` is a UTC stamp."""

    def parts() -> Iterator[bytes]:
        opening = {"format": FORMAT, "version": VERSION, "taken_at": taken_at}
        yield _json(opening)[:-1] + b',"records":['
        between = b"\n"
        for one in records:
            yield between + _json(told(one))
            between = b",\n"
        yield b"\n]}\n"

    return _gathered(parts())


def told(one: Taken | Draft) -> dict[str, Any]:
    """Return a record as the schema describes it; of an erased one number and dates alone."""
    if isinstance(one, Draft):
        return {
            "state": "draft", "job_id": one.job_id, "opened_at": one.opened_at, "changed_at": one.changed_at,
            "answers": dict(one.answers), **exported_desk.told(one.desk, one.inspections),
        }  # fmt: skip
    hit = one.hit
    if one.erased_at is not None or one.job is None:
        return {"number": hit.number, "issued_at": hit.issued_at, "erased_at": one.erased_at}
    return {
        "number": hit.number,
        "kind": hit.kind,
        "revision": hit.revision,
        "state": hit.state,
        "issued_at": hit.issued_at,
        "replaced_by": hit.superseded_by_number,
        "voided_at": hit.voided_at,
        "void_reason": hit.void_reason,
        "job_id": hit.job_id,
        "ruleset_version": one.ruleset_version,
        "ruleset_digest": one.ruleset_digest,
        "content_digest": one.content_digest,
        "previous_head": one.previous_head,
        "check_code": one.check_code,
        "answers": json.loads(one.job),
        **exported_desk.told(one.desk, one.inspections),
        "report": json.loads(one.report or b"{}"),
    }


def schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the document; a line is its `#/$defs/record`.

    Answers are as they were stored by the rules of their day, so none of today's questions is required.
    """
    maybe_stamp = {"anyOf": [_STAMP, {"type": "null"}]}
    whole = {
        "number": _TEXT,
        "kind": {"enum": list(KINDS)},
        "revision": {"type": "integer", "minimum": 1},
        "state": {"enum": ["current", "replaced", "void"]},
        "issued_at": _STAMP,
        "replaced_by": {"type": ["string", "null"]},
        "voided_at": maybe_stamp,
        "void_reason": {"type": ["string", "null"]},
        "job_id": {"type": "string", "format": "uuid"},
        "ruleset_version": _TEXT,
        "ruleset_digest": _TEXT,
        "content_digest": _HEX,
        "previous_head": _HEX,
        "check_code": {"type": "string", "pattern": "^[A-Z2-7]{4}-[A-Z2-7]{4}-[A-Z2-7]{4}$"},
        "answers": {"type": "object", "properties": dict(_questions())},
        "report": {"type": "object"},
        **exported_desk.schema(),
    }
    draft = {
        "state": {"const": "draft"}, "opened_at": _STAMP, "changed_at": _STAMP,
        **{name: whole[name] for name in ("job_id", "answers", "desk", "inspections")},
    }  # fmt: skip
    erased = {"number": _TEXT, "issued_at": _STAMP, "erased_at": maybe_stamp}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Records taken out of heaterapp",
        **exported_desk.closed(
            {
                "format": {"const": FORMAT},
                "version": {"const": VERSION},
                "taken_at": _STAMP,
                "records": {"type": "array", "items": {"$ref": "#/$defs/record"}},
            }
        ),
        "$defs": {
            "record": {"oneOf": [{"$ref": f"#/$defs/{name}"} for name in ("whole", "erased", "draft")]},
            "draft": exported_desk.closed(draft),
            "whole": exported_desk.closed(whole),
            "erased": exported_desk.closed(erased),
        },
    }


def papers_of(moment: Moment) -> Iterator[bytes]:
    """Give a ZIP of every stored paper, with hashes.csv and SHA256SUMS; memory stays flat.

    A paper is called number-revision-file, so a second export gives it the same name.
    """
    with Packing() as packing, tempfile.TemporaryFile() as sums, tempfile.TemporaryFile() as notes:
        for paper in moment.papers():
            name = f"{paper.number}-{paper.revision}-{paper.name}"
            size, digest, state = 0, "", "erased"
            if paper.body is not None:
                size, digest, state = len(paper.body), hashlib.sha256(paper.body).hexdigest(), "here"
                sums.write(f"{digest}  {name}\n".encode())
                yield from packing.member(name, paper.body)
            row = [name, paper.number, paper.revision, paper.name, size, digest or None, state]
            notes.write(_json(row) + b"\n")
        notes.seek(0)
        yield from packing.long_member("hashes.csv", sheet_rows.written(HASH_HEADS, map(json.loads, notes)))
        sums.seek(0)
        yield from packing.long_member("SHA256SUMS", iter(lambda: sums.read(CUT_AT), b""))
        yield from packing.end()


def _row(one: Taken | Draft) -> list[sheet_rows.Cell]:
    if isinstance(one, Draft):
        return _cells({"state": "draft", "job_id": one.job_id}, one.answers, one)
    hit = one.hit
    if one.erased_at is not None or one.job is None:
        known = {
            "number": hit.number,
            "issued_at": _moment(hit.issued_at),
            "erased_at": _moment(one.erased_at),
        }
        return [known.get(name) for name in heads()]
    answers: Mapping[str, Any] = json.loads(one.job)
    report = json.loads(one.report or b"{}")
    own: dict[str, sheet_rows.Cell] = {
        **{name: getattr(one, name) for name in OWN if hasattr(one, name)},
        "number": hit.number,
        "kind": hit.kind,
        "revision": hit.revision,
        "state": hit.state,
        "issued_at": _moment(hit.issued_at),
        "replaced_by": hit.superseded_by_number,
        "voided_at": _moment(hit.voided_at),
        "void_reason": hit.void_reason,
        "job_id": hit.job_id,
        "outcome": str(report.get("outcome", "")) or None,
    }
    return _cells(own, answers, one)


def _cells(
    own: Mapping[str, sheet_rows.Cell], answers: Mapping[str, Any], one: Taken | Draft
) -> list[sheet_rows.Cell]:
    # As paper and pages tell it: what is left over from a part that is not there stands among the others.
    told = rules.asked_only(answers)
    asked = [
        _answer(question.kind, told[name]) if name in told else None
        for name, question in rules.CATALOGUE.items()
    ]
    own_columns = told.keys() & rules.CATALOGUE.keys()
    other = {name: value for name, value in answers.items() if name not in own_columns}
    rest = _json(other).decode() if other else None
    return [*(own.get(name) for name in OWN), *asked, rest, *exported_desk.cells(one.desk, one.inspections)]


def _answer(kind: str, value: Any) -> sheet_rows.Cell:
    if value is None:
        return None
    if kind == "number" and isinstance(value, (str, int, float)):
        try:
            number = Decimal(str(value))
        except InvalidOperation:
            return str(value)
        return number if number.is_finite() else str(value)
    if kind == "date" and isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            return value
    if isinstance(value, dict) and set(value) == {"could_not_measure"}:
        return f"could not measure: {value['could_not_measure']}"
    return _json(value).decode() if isinstance(value, (dict, list)) else str(value)


def _moment(stamp: str | None) -> datetime | None:
    return datetime.fromisoformat(stamp) if stamp else None


def _questions() -> Iterator[tuple[str, dict[str, str]]]:
    for name, question in rules.CATALOGUE.items():
        yield (
            name,
            {"description": f"{question.label} [{question.unit}]" if question.unit else question.label},
        )


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, sort_keys=False, separators=(",", ":")).encode()


def _gathered(parts: Iterable[bytes]) -> Iterator[bytes]:
    waiting = bytearray()
    for part in parts:
        waiting += part
        if len(waiting) > CUT_AT:
            yield bytes(waiting)
            waiting.clear()
    if waiting:
        yield bytes(waiting)
