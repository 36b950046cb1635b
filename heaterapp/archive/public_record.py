"""What the holder of a paper may learn of its record, read together."""

from collections.abc import Mapping

from sqlalchemy import Connection, Row

from heaterapp.archive import seals
from heaterapp.archive.canonical import sha256
from heaterapp.archive.hits import present_of_job, read_hits, replaced_at
from heaterapp.archive.reports import books_cited, hazard_stands, zone_kept
from heaterapp.archive.shapes import PublicRecord


def public_of(connection: Connection, row: Row, stored: Mapping[str, bytes | None]) -> PublicRecord:
    """Return what a record's holder may learn, from its row and its stored files."""
    hit = read_hits(connection, row.organisation, [row.id])[0]
    files = {name: body for name, body in stored.items() if body is not None}
    keys = seals.all_of(connection, row.organisation)
    present = present_of_job(connection, row.organisation, row.job_id)
    return PublicRecord(
        number=row.number,
        kind=row.kind,
        issued_at=row.issued_at,
        state="issued" if hit.state in ("current", "unfinished") else hit.state,
        erased=hit.erased,
        replaced_by=hit.superseded_by_number,
        present=present.number if present is not None else None,
        place=hit.facts.place,
        ruleset_version=row.ruleset_version,
        ruleset_digest=row.ruleset_digest,
        content_digest=row.content_digest,
        files={name: sha256(body) for name, body in files.items()},
        sizes={name: len(body) for name, body in files.items()},
        books=books_cited(connection, row.organisation, row.id),
        keys=tuple(one.public for one in keys),
        revision=row.revision,
        time_zone=zone_kept(connection, row.organisation, row.id),
        since=hit.voided_at or replaced_at(connection, row.organisation, hit),
        danger=hit.state != "current" and hazard_stands(connection, row.organisation, row.job_id),
        bodies=files,
        certificates={one.fingerprint: one.certificate for one in keys},
    )
