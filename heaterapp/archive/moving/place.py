"""The place that an import takes: free for its ids, or not; who could sign in there still can."""

from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.moving import form
from heaterapp.archive.moving.reading import ImportRefused

_own, _head, _log, _person = tables.organisation, tables.log_head, tables.log, tables.person


@dataclass
class Kept:
    """The accounts of the place that is taken, by sign-in name, until they are put back."""

    by_login: dict[str, dict[str, Any]] = field(default_factory=dict)


def holds(connection: Connection, manifest: dict[str, Any], in_place_of: int | None) -> bool:
    """Say whether the log that the manifest ends with stands here already, or goes on from there."""
    said = manifest["log"]
    if in_place_of not in (None, manifest["organisation"]["id"]):
        return False
    this = (_log.c.organisation == manifest["organisation"]["id"], _log.c.seq == said["entries"])
    return bool(said["entries"]) and (
        connection.execute(select(_log.c.digest).where(*this)).scalar() == said["head"]
    )


def cleared(connection: Connection, organisation: int, in_place_of: int | None) -> Kept:
    """Clear the place of an organisation, return its accounts. Raises ImportRefused when it is not free."""
    here = connection.execute(select(_own.c.organisation)).scalars().all()
    taken = organisation if organisation in here else here[0] if len(here) == 1 else None
    if in_place_of is not None and taken != in_place_of:
        raise ImportRefused(
            f"{form.MANIFEST}: it is organisation {organisation}, whose place is not that of your firm here."
        )
    if taken is None:
        return Kept()
    if not _is_empty(connection, taken):
        if taken != organisation and in_place_of is None:
            return Kept()
        raise ImportRefused(
            "This archive has been begun: it holds jobs, records or acts of its own."
            " An import goes only into a new, empty one."
        )
    found = connection.execute(select(_person).where(_person.c.organisation == taken)).mappings()
    kept = Kept({row["login"]: dict(row) for row in found})
    for table in reversed(tables.metadata.sorted_tables):
        if table.name not in tables.RECORDED + office_tables.RECORDED:
            connection.execute(delete(table).where(table.c.organisation == taken))
    return kept


def _is_empty(connection: Connection, organisation: int) -> bool:
    head = connection.execute(select(_head.c.seq).where(_head.c.organisation == organisation)).scalar()
    jobs = select(func.count()).select_from(tables.job).where(tables.job.c.organisation == organisation)
    return not head and not connection.execute(jobs).scalar()


def person(row: dict[str, Any], kept: Kept) -> dict[str, Any]:
    """Return a person's row without a password; one who could sign in here by this name still can."""
    known = kept.by_login.pop(row["login"], None)
    if known is None:
        return {**row, "password_hash": ""}
    owner = known["role"] == "owner" and not known["disabled"]
    same = {"password_hash": known["password_hash"]}
    return {**row, **same, **({"role": "owner", "disabled": False} if owner else {})}


def settled(connection: Connection, manifest: dict[str, Any], kept: Kept) -> None:
    """Put back the accounts that the import did not bring, under new ids above all others."""
    highest = connection.execute(select(func.max(_person.c.id))).scalar() or 0
    for number, row in enumerate(kept.by_login.values(), highest + 1):
        own = {"id": number, "organisation": manifest["organisation"]["id"]}
        connection.execute(insert(_person).values({**row, **own}))
