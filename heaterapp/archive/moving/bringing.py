"""Taking an organisation in: into a place that is free for it, whole and verified, in one transaction."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, Any

from sqlalchemy import BigInteger, Boolean, Connection, LargeBinary, String, Table, Text, func, insert, select
from sqlalchemy.exc import DataError, DBAPIError, IntegrityError

from heaterapp.archive import faults, tables
from heaterapp.archive.audit import check_of
from heaterapp.archive.backups.engines import go_on_counting
from heaterapp.archive.canonical import canonical
from heaterapp.archive.columns import LARGEST_WHOLE, Whole
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import one_moment
from heaterapp.archive.moving import form, lines, place
from heaterapp.archive.moving.reading import LARGEST_LIST, ImportRefused, Pack, opened
from heaterapp.archive.moving.taking import Fetch, Leaving
from heaterapp.archive.organisations import IMPORTED, read_organisation
from heaterapp.archive.shapes import KINDS, ROLES

BATCH, BATCH_OF_BODIES = 500, 20
ONE_OF = {
    ("person", "role"): ROLES, ("record", "kind"): KINDS, ("counter", "kind"): KINDS,
    ("job", "state"): ("draft", "issued", "erased"),
}  # fmt: skip
JSON: dict[tuple[str, str], type] = {
    ("organisation", "settings"): dict, ("job", "answers"): dict, ("job", "answer_revisions"): dict,
    ("job", "signature"): dict, ("desk", "facts"): dict, ("desk", "changes"): list,
    ("inspection", "facts"): dict, ("inspection", "asked"): list, ("finding", "facts"): dict,
    ("log", "body"): dict,
}  # fmt: skip


@dataclass(frozen=True)
class Brought:
    """What came of an import."""

    name: str
    organisation: int
    records: int
    here_already: bool
    """All of it stood here before, and nothing was changed."""


class Moving:
    """An organisation's way out and in."""

    def __init__(self, database: Database, fetch: Fetch):
        self._database = database
        self._fetch = fetch

    @contextmanager
    def leaving(self, organisation: int) -> Iterator[Leaving]:
        """Open an organisation as it is now, to be taken along. Raises NotFound."""
        with self._database.read() as connection:
            one_moment(connection)
            read_organisation(connection, organisation)
            yield Leaving(connection, organisation, self._database.now(), self._fetch)

    def bring(
        self, file: IO[bytes], in_place_of: int | None = None, largest_list: int = LARGEST_LIST
    ) -> Brought:
        """Take in the organisation of a whole export, or refuse it with nothing changed.

        file         open for reading, seekable
        in_place_of  the only organisation that may give up its place to it; any free one when None

        Who can sign in to the place that is taken keeps name and password. Raises ImportRefused.
        """
        with opened(file, largest_list) as pack:
            faults.at("import_begun")
            try:
                here_already = self._keep(pack, in_place_of)
            except DBAPIError as refused:
                raise ImportRefused(f"The database could not keep it ({_first_line(refused)}).") from refused
            faults.at("import_committed")
        said = pack.manifest
        records = said["counts"].get("record", 0)
        return Brought(said["organisation"]["name"], said["organisation"]["id"], records, here_already)

    def _keep(self, pack: Pack, in_place_of: int | None) -> bool:
        said = pack.manifest
        with self._database.write() as connection:
            if place.holds(connection, said, in_place_of):
                return True
            kept = place.cleared(connection, said["organisation"]["id"], in_place_of)
            faults.at("after_import_cleared")
            for table in form.moved():
                _bring(connection, pack, table, kept)
                faults.at("after_import_table")
            place.settled(connection, said, kept)
            go_on_counting(connection)
            faults.at("after_import_rows")
            _verified(connection, said)
            faults.at("after_import_verify")
        return False


def _bring(connection: Connection, pack: Pack, table: Table, kept: place.Kept) -> None:
    name, organisation = form.lines_of(table), pack.manifest["organisation"]["id"]
    size = BATCH_OF_BODIES if table in form.BODIES else BATCH
    batch: list[dict[str, Any]] = []
    count = 0

    def put() -> None:
        try:
            if batch:
                connection.execute(insert(table), batch)
        except (IntegrityError, DataError) as refused:
            said = _first_line(refused)
            raise ImportRefused(
                f"{name}: a row stands twice, is taken here, or names what is not there ({said})."
            ) from refused
        batch.clear()

    for number, value in pack.lines(name):
        where = f"{name} line {number}"
        row = _row(table, value, where, pack)
        if row["organisation"] != organisation:
            raise ImportRefused(f"{where}: organisation {organisation} was expected.")
        lines.refuse_unkept(table, row, where)
        if table is tables.person:
            row = place.person(row, kept)
        if table is tables.organisation:
            row["settings"] = _marked(row["settings"], pack.manifest)
        batch.append(row)
        count += 1
        if len(batch) >= size:
            put()
    put()
    if count != pack.manifest["counts"].get(table.name):
        raise ImportRefused(f"{name}: {count} rows, and the manifest counts another number.")


def _first_line(refused: DBAPIError) -> str:
    return str(refused.orig or refused).splitlines()[0][:200]


def _row(table: Table, value: Any, where: str, pack: Pack) -> dict[str, Any]:
    if not isinstance(value, dict) or value.keys() != {column.name for column in table.c}:
        raise ImportRefused(f"{where}: exactly the columns of the table {table.name} were expected.")
    row: dict[str, Any] = {}
    for column in table.c:
        held = value[column.name]
        kind = (table.name, column.name)
        if held is None:
            if not column.nullable:
                raise ImportRefused(f"{where}, {column.name}: something must stand there.")
            row[column.name] = None
            continue
        if isinstance(column.type, LargeBinary):
            row[column.name] = _bytes(table, column, held, where, pack)
            continue
        if not any(wanted(column.type) and right(held) for wanted, right in RIGHT):
            raise ImportRefused(f"{where}, {column.name}: another kind of value was expected.")
        longest = getattr(column.type, "length", None)
        if isinstance(held, str) and ("\0" in held or (longest and len(held) > longest)):
            raise ImportRefused(f"{where}, {column.name}: text of at most {longest} characters was expected.")
        if held not in ONE_OF.get(kind, (held,)):
            raise ImportRefused(f"{where}, {column.name}: one of {', '.join(ONE_OF[kind])} was expected.")
        if kind in JSON and not _is_json(held, JSON[kind]):
            raise ImportRefused(f"{where}, {column.name}: JSON was expected, an object or a list.")
        row[column.name] = held
    return row


def _is_whole(held: Any) -> bool:
    return isinstance(held, int) and not isinstance(held, bool)


RIGHT: tuple[tuple[Callable[[Any], bool], Callable[[Any], bool]], ...] = (
    (lambda kind: isinstance(kind, Whole), lambda held: _is_whole(held) and abs(held) <= LARGEST_WHOLE),
    (lambda kind: isinstance(kind, BigInteger), lambda held: _is_whole(held) and abs(held) < 2**63),
    (lambda kind: isinstance(kind, Boolean), lambda held: isinstance(held, bool)),
    (lambda kind: isinstance(kind, (String, Text)), lambda held: isinstance(held, str)),
)


def _bytes(table: Table, column: Any, held: Any, where: str, pack: Pack) -> bytes:
    if form.is_member(column):
        if (
            not isinstance(held, str)
            or not form.MEMBER.fullmatch(held)
            or not held.startswith(f"{table.name}/")
        ):
            raise ImportRefused(
                f"{where}, {column.name}: the name of a member under {table.name}/ was expected."
            )
        return pack.body(held)
    try:
        return bytes.fromhex(held)
    except (TypeError, ValueError):
        raise ImportRefused(f"{where}, {column.name}: hex digits were expected.") from None


def _is_json(text: str, kind: type) -> bool:
    try:
        return isinstance(json.loads(text), kind)
    except (ValueError, RecursionError):
        return False


def _marked(settings: str, manifest: dict[str, Any]) -> str:
    """The settings, and what of the log was not witnessed here: see the package."""
    imported = {"from": str(manifest.get("made_at", ""))[:20], "upto": manifest["log"]["entries"]}
    return canonical({**json.loads(settings), IMPORTED: imported})


def _verified(connection: Connection, manifest: dict[str, Any]) -> None:
    head = tables.log_head
    this = select(head.c.seq, head.c.digest).where(head.c.organisation == manifest["organisation"]["id"])
    if tuple(connection.execute(this).one_or_none() or ()) != (
        manifest["log"]["entries"],
        manifest["log"]["head"],
    ):
        raise ImportRefused(f"{form.MANIFEST}: the log ends otherwise than it says.")
    held = connection.execute(
        select(func.count()).select_from(tables.record)
        .where(tables.record.c.organisation == manifest["organisation"]["id"])
    ).scalar_one()  # fmt: skip
    if held != manifest["counts"].get("record"):
        raise ImportRefused(f"{form.MANIFEST}: it counts another number of records.")
    own = tables.organisation
    this = select(own.c.settings).where(own.c.organisation == manifest["organisation"]["id"])
    settings = connection.execute(this).scalar_one()
    where = f"{form.lines_of(own)} line 1"
    lines.refuse_unkept_settings(connection, manifest["organisation"]["id"], settings, where)
    # The others' rows are not looked at: none of their faults is told here, and nobody waits for so long.
    found = check_of(connection, manifest["organisation"]["id"])
    if not found.ok:
        raise ImportRefused(f"What it brings does not verify: {found.faults[0]}.")
