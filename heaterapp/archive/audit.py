"""Verify: walk the whole log and everything it vouches for, and name each fault."""

from collections import Counter
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection, Row, func, select

from heaterapp.archive import holds, logos, office_tables, said, seals, tables
from heaterapp.archive.audit_content import Content, body_of
from heaterapp.archive.canonical import EMPTY_HEAD, sha256
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import reading_damaged, schema_faults, word_index_fault
from heaterapp.archive.log import entry_digest
from heaterapp.archive.one_firm import rows_of
from heaterapp.archive.shapes import KINDS, Fault, Verified

SHARE_FIELDS = ("organisation", "record", "token_hash", "created_at", "created_by", "expires_at")


@dataclass
class _Vouched:
    """What the log says should be there, beside the records themselves."""

    rulesets: dict[tuple[int, str], dict[str, Any]] = field(default_factory=dict)
    shares: dict[int, dict[str, Any]] = field(default_factory=dict)
    revoked: dict[int, str] = field(default_factory=dict)
    erased: set[tuple[int, int]] = field(default_factory=set)
    logos: dict[tuple[int, Any], Any] = field(default_factory=dict)
    held: holds.Vouched = field(default_factory=holds.Vouched)
    sealed: seals.Vouched = field(default_factory=seals.Vouched)
    words: said.Vouched = field(default_factory=said.Vouched)
    heads: dict[int, tuple[int, str]] = field(default_factory=dict)
    issued: Counter[tuple[int, Any]] = field(default_factory=Counter)
    entries: int = 0


class Audit:
    """Reads everything and changes nothing."""

    def __init__(self, database: Database):
        self._database = database

    def verify(self) -> Verified:
        """Check log, records, contents, papers, rulesets, search rows, keys, shares, counters and guards.

        Each fault names table, row and field. An entry whose own fields do not give
        its digest is named with field `entry`; a content with `body or salt`.
        """
        faults: list[Fault] = []
        with self._database.read() as connection, reading_damaged(connection):
            found = _look(connection, faults)
        with self._database.write() as connection:
            _look_at_words(connection, faults)
        return replace(found, faults=tuple(faults))


def check_of(connection: Connection, organisation: int) -> Verified:
    """Check one organisation's rows in a caller's own transaction, of which nothing may be kept yet."""
    faults: list[Fault] = []
    found = _look(connection, faults, organisation)
    return replace(found, faults=tuple(faults))


def _look(connection: Connection, faults: list[Fault], only: int | None = None) -> Verified:
    schema = schema_faults(connection, tables.RECORDED + office_tables.RECORDED, whole=only is None)
    faults += [Fault("schema", name, "definition", what) for name, what in schema]
    vouched = _walk_log(connection, faults, only)
    content = Content(connection, vouched.erased, faults, only)
    content.check()
    rulesets = _check_rulesets(connection, vouched, faults, only)
    shares = _check_shares(connection, vouched, faults, only)
    vouched.held.check(connection, faults, only)
    vouched.words.check(connection, faults, only)
    vouched.sealed.check(connection, faults, only)
    logos.check(connection, vouched.logos, faults, only)
    _check_counters(connection, vouched.issued, faults, only)
    return Verified(vouched.entries, content.records, content.payloads, rulesets, shares, ())


def _look_at_words(connection: Connection, faults: list[Fault]) -> None:
    torn = word_index_fault(connection)
    if torn is not None:
        faults.append(Fault("finding_words", "index", "words", torn))


def _walk_log(connection: Connection, faults: list[Fault], only: int | None) -> _Vouched:
    vouched = _Vouched()
    query = rows_of(tables.log, only).order_by(tables.log.c.organisation, tables.log.c.seq)
    for row in connection.execute(query):
        vouched.entries += 1
        seq, previous = vouched.heads.get(row.organisation, (0, EMPTY_HEAD))
        check_entry(row, seq, previous, faults)
        vouched.heads[row.organisation] = (row.seq, row.digest)
        _note(row, vouched)
    check_heads(connection, vouched.heads, faults, only)
    return vouched


def check_heads(
    connection: Connection,
    ends: dict[int, tuple[int, str]],
    faults: list[Fault],
    only: int | None = None,
) -> None:
    """Hold each stored head against the end of its log; `ends` is organisation -> (seq, digest)."""
    rows = connection.execute(rows_of(tables.log_head, only))
    heads = {row.organisation: (row.seq, row.digest) for row in rows}
    for row in connection.execute(rows_of(tables.organisation, only)):
        heads.setdefault(row.organisation, (None, None))
    for organisation in heads.keys() | ends.keys():
        wanted = ends.get(organisation, (0, EMPTY_HEAD))
        found = heads.get(organisation, (None, None))
        for name, is_, should in zip(("seq", "digest"), found, wanted, strict=True):
            if is_ != should:
                faults.append(
                    Fault("log_head", f"organisation {organisation}", name, "is not the newest entry's")
                )


def check_entry(row: Row, seq: int, previous: str, faults: list[Fault]) -> None:
    name = f"organisation {row.organisation} entry {row.seq}"
    if row.seq != seq + 1:
        faults.append(Fault("log", name, "seq", f"entry {seq + 1} was expected"))
    if row.previous != previous:
        faults.append(Fault("log", name, "previous", "is not the digest of the entry before"))
    try:
        right = entry_digest(dict(row._mapping)) == row.digest
    except (TypeError, ValueError):
        right = False
    if not right:
        faults.append(Fault("log", name, "entry", "its fields do not give its digest"))


def _note(row: Row, vouched: _Vouched) -> None:
    if row.act == "finish":
        return  # read with its record
    body = body_of(row)
    vouched.held.note(row, body)
    vouched.words.note(row, body)
    vouched.sealed.note(row, body)
    if row.act == "ruleset":
        vouched.rulesets[row.organisation, body.get("digest", "")] = body
    elif row.act == "share":
        vouched.shares[body.get("share", 0)] = body
    elif row.act == "share_revoked":
        vouched.revoked[body.get("share", 0)] = body.get("revoked_at", "")
    elif row.act == logos.ACT:
        vouched.logos[row.organisation, body.get("digest")] = body.get("kept_at")
    elif row.act == "issue":
        record = body.get("record")
        vouched.issued[row.organisation, record.get("kind") if isinstance(record, dict) else None] += 1
    elif row.act == "erase":
        vouched.erased.add((row.organisation, row.record))


def _check_rulesets(
    connection: Connection, vouched: _Vouched, faults: list[Fault], only: int | None
) -> int:
    seen = set()
    for row in connection.execute(rows_of(tables.ruleset, only)):
        name = f"organisation {row.organisation} {row.digest}"
        body = vouched.rulesets.get((row.organisation, row.digest))
        if body is None:
            faults.append(Fault("ruleset", name, "digest", "is not in the log"))
            continue
        seen.add((row.organisation, row.digest))
        if row.version != body.get("version"):
            faults.append(Fault("ruleset", name, "version", "differs from the log"))
        if sha256(row.body) != body.get("sha256"):
            faults.append(Fault("ruleset", name, "body", "does not match its digest in the log"))
    for organisation, digest in vouched.rulesets.keys() - seen:
        faults.append(Fault("ruleset", f"organisation {organisation} {digest}", "digest", "missing"))
    return len(seen)


def _check_shares(
    connection: Connection, vouched: _Vouched, faults: list[Fault], only: int | None
) -> int:
    seen = set()
    for row in connection.execute(rows_of(tables.share, only)):
        body = vouched.shares.get(row.id)
        if body is None:
            faults.append(Fault("share", f"share {row.id}", "id", "is not in the log"))
            continue
        seen.add(row.id)
        wrong = [name for name in SHARE_FIELDS if getattr(row, name) != body.get(name)]
        wrong += ["revoked_at"] if row.revoked_at != vouched.revoked.get(row.id) else []
        faults += [Fault("share", f"share {row.id}", name, "differs from the log") for name in wrong]
    faults += [Fault("share", f"share {share}", "id", "missing") for share in vouched.shares.keys() - seen]
    return len(seen)


def _check_counters(
    connection: Connection, issued: Counter[tuple[int, Any]], faults: list[Fault], only: int | None
) -> None:
    record = tables.record
    query = select(record.c.organisation, record.c.kind, func.count(), func.max(record.c.serial))
    if only is not None:
        query = query.where(record.c.organisation == only)
    for organisation, kind, count, highest in connection.execute(
        query.group_by(record.c.organisation, record.c.kind)
    ):
        if count != highest:
            faults.append(
                Fault(
                    "record",
                    f"organisation {organisation} {kind}",
                    "serial",
                    f"{count} rows end at {highest}",
                )
            )
    counters = connection.execute(rows_of(tables.counter, only))
    stored = {(row.organisation, row.kind): row.last for row in counters}
    firms = [row.organisation for row in connection.execute(rows_of(tables.organisation, only))]
    # The log says how many there were, so that a changed record does not cover for a changed counter.
    wanted = {(organisation, kind): issued[organisation, kind] for organisation in firms for kind in KINDS}
    for key in stored.keys() | wanted.keys():
        if stored.get(key) != wanted.get(key):
            faults.append(
                Fault("counter", f"organisation {key[0]} {key[1]}", "last", f"{issued[key]} were issued")
            )
