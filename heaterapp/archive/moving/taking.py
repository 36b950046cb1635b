"""Writing an organisation whole, as of one moment, in flat memory."""

import hashlib
import json
import tempfile
from collections.abc import Callable, Iterable, Iterator
from typing import IO, Any

from sqlalchemy import Connection, Table, select

from heaterapp.archive import tables
from heaterapp.archive.canonical import canonical, salted, sha256
from heaterapp.archive.errors import BlobsFailed
from heaterapp.archive.moving import form
from heaterapp.archive.organisations import SECRETS
from heaterapp.archive.packing import Packing

ROWS, ROWS_WITH_BODIES = 1000, 20
AT_ONCE = 256_000
Fetch = Callable[[str], bytes | None]


class Leaving:
    """One organisation as it is at one moment; `pieces` gives the ZIP."""

    def __init__(self, connection: Connection, organisation: int, now: str, fetch: Fetch):
        self._connection = connection
        self._organisation = organisation
        self._now = now
        self._fetch = fetch
        self.records = len(
            connection.execute(
                select(tables.record.c.id).where(tables.record.c.organisation == organisation)
            ).all()
        )

    def pieces(self) -> Iterator[bytes]:
        counts, seen = {}, set[str]()
        with Packing() as packing, tempfile.TemporaryFile() as sums:
            for table in form.moved():
                with tempfile.TemporaryFile() as lines:
                    counts[table.name] = 0
                    for row in self._rows(table):
                        counts[table.name] += 1
                        body = row.get("body")
                        if isinstance(body, bytes):
                            row["body"] = name = f"{table.name}/{_name(table, row, body)}"
                            if table is tables.payload or name not in seen:
                                seen |= set() if table is tables.payload else {name}
                                sums.write(f"{sha256(body)}  {name}\n".encode())
                                yield from packing.member(name, body)
                        lines.write(canonical(_in_hex(row)).encode() + b"\n")
                    lines.seek(0)
                    digest = hashlib.sha256()
                    yield from packing.long_member(form.lines_of(table), _hashed(lines, digest))
                    sums.write(f"{digest.hexdigest()}  {form.lines_of(table)}\n".encode())
            sums.seek(0)
            digest = hashlib.sha256()
            yield from packing.long_member(form.SUMS, _hashed(sums, digest))
            said = json.dumps(self._manifest(counts, digest.hexdigest()), indent=1, sort_keys=True)
            yield from packing.member(form.MANIFEST, said.encode())
            yield from packing.end()

    def _rows(self, table: Table) -> Iterator[dict[str, Any]]:
        heavy = table in form.BODIES
        query = select(table).where(table.c.organisation == self._organisation)
        options = {"yield_per": ROWS_WITH_BODIES if heavy else ROWS}
        found = self._connection.execute(
            query.order_by(*table.primary_key.columns), execution_options=options
        )
        with found:
            for one in found:
                row = dict(one._mapping)
                if table is tables.person:
                    row["password_hash"] = ""
                if table is tables.organisation:
                    row["settings"] = _without_secrets(row["settings"])
                if table is tables.payload and row["salt"] is not None and row["body"] is None:
                    row["body"] = self._away(row)
                yield row

    def _away(self, row: dict[str, Any]) -> bytes:
        body = self._fetch(row["digest"])
        if body is None or salted(row["salt"], row["name"], body) != row["digest"]:
            which = f"{row['name']} of record {row['record']}"
            raise BlobsFailed(f"{which} is missing from the place for blobs, or was changed there")
        return body

    def _manifest(self, counts: dict[str, int], sums: str) -> dict[str, Any]:
        own, head = tables.organisation, tables.log_head
        this = select(own).where(own.c.organisation == self._organisation)
        firm = self._connection.execute(this).one()
        last = self._connection.execute(select(head).where(head.c.organisation == self._organisation)).one()
        return {
            "format": form.FORMAT,
            "version": form.VERSION,
            "tables": form.tables_of(),
            "made_at": self._now,
            "organisation": {"id": firm.organisation, "slug": firm.slug, "name": firm.name},
            "log": {"entries": last.seq, "head": last.digest},
            "counts": counts,
            "sums": sums,
            "left_out": [*(table.name for table in form.STAY), "password hashes", "the mail's password"],
        }


def _name(table: Table, row: dict[str, Any], body: bytes) -> str:
    return row["digest"] if table is tables.payload else sha256(body)


def _in_hex(row: dict[str, Any]) -> dict[str, Any]:
    return {name: value.hex() if isinstance(value, bytes) else value for name, value in row.items()}


def _without_secrets(settings: str) -> str:
    held = json.loads(settings)
    for name, secret in SECRETS:
        if isinstance(held.get(name), dict):
            held[name].pop(secret, None)
    return canonical(held)


def _hashed(file: IO[bytes], digest: Any) -> Iterable[bytes]:
    while part := file.read(AT_ONCE):
        digest.update(part)
        yield part
