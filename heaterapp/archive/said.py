"""What people typed in an entry of the log: the entry keeps a salted digest, the words stand here.

So an erasure takes the words and the salt away, and the chain still verifies. A row is of a record,
or, with `job_id`, of a job; it is emptied with it.
"""

from collections.abc import Collection, Mapping
from typing import Any

from sqlalchemy import Connection, insert, or_, select, update

from heaterapp.archive import office_tables
from heaterapp.archive.canonical import new_salt, salted
from heaterapp.archive.one_firm import rows_of
from heaterapp.archive.shapes import Fault

MARK = "said"
"""Under this name an entry's body holds name -> digest."""
_table = office_tables.said
Key = tuple[int, int]


def keep(
    connection: Connection,
    at: Key,
    record: int | None,
    of_job: str | Mapping[str, str] | None,
    words: Mapping[str, str],
) -> dict[str, str]:
    """Write the words of the entry at (organisation, seq), and return name -> digest for its body.

    of_job  whose all of them are, or name -> job
    """
    digests, rows = {}, []
    for name, text in words.items():
        salt, job_id = new_salt(), of_job.get(name) if isinstance(of_job, Mapping) else of_job
        digests[name] = _digest(salt, name, job_id, text)
        own = {"record": None if job_id else record, "job_id": job_id}
        rows.append({"organisation": at[0], "seq": at[1], **own, "name": name, "salt": salt, "body": text})
    connection.execute(insert(_table), rows)
    return digests


def words_of(connection: Connection, keys: Collection[Key]) -> dict[Key, dict[str, str]]:
    """Return what was said in these entries, (organisation, seq) -> name -> words; empty once erased."""
    found: dict[Key, dict[str, str]] = {}
    for firm in {organisation for organisation, _ in keys}:
        seqs = [seq for organisation, seq in keys if organisation == firm]
        these = select(_table).where(_table.c.organisation == firm, _table.c.seq.in_(seqs))
        for row in connection.execute(these):
            found.setdefault((firm, row.seq), {})[row.name] = row.body or ""
    return found


def forget(
    connection: Connection, organisation: int, records: Collection[int], job_id: str | None = None
) -> None:
    """Take away what was said of records and a job whose erasure stands in the log."""
    of_these = _table.c.record.in_(list(records))
    if job_id is not None:
        of_these = or_(of_these, _table.c.job_id == job_id)
    mine = (_table.c.organisation == organisation, _table.c.salt.is_not(None), of_these)
    connection.execute(update(_table).where(*mine).values(salt=None, body=None))


class Vouched:
    """What the log says of the words, for `verify`."""

    def __init__(self) -> None:
        self._digests: dict[tuple[int, int, str], tuple[str, int | None]] = {}
        self._records: dict[tuple[int, int | None], int] = {}
        self._jobs: dict[tuple[int, Any], int] = {}
        """What was erased, and by which entry."""

    def note(self, entry: Any, body: Mapping[str, Any]) -> None:
        """Take one entry of the log."""
        digests = body.get(MARK)
        for name, digest in digests.items() if isinstance(digests, dict) else ():
            self._digests[entry.organisation, entry.seq, name] = digest, entry.record
        if entry.act == "erase":
            self._records[entry.organisation, entry.record] = entry.seq
        elif entry.act == "erase_job":
            self._jobs[entry.organisation, body.get("job")] = entry.seq

    def check(
        self, connection: Connection, faults_found: list[Fault], only: int | None = None
    ) -> None:
        """Hold every row against it, and name what is missing, added or changed."""
        for row in connection.execute(rows_of(_table, only)):
            named = f"organisation {row.organisation} entry {row.seq} {row.name}"
            digest, record = self._digests.pop((row.organisation, row.seq, row.name), (None, None))
            if digest is None:
                faults_found.append(Fault("said", named, "name", "is not in the log"))
                continue
            if row.record != (record if row.job_id is None else None):
                faults_found.append(Fault("said", named, "record", "differs from the log"))
            erased = self._jobs.get((row.organisation, row.job_id), 0)
            if row.job_id is None:
                erased = self._records.get((row.organisation, row.record), 0)
            if row.salt is None and row.body is None:
                if not erased:
                    faults_found.append(Fault("said", named, "body or salt", "gone, and no erasure says so"))
            elif row.seq < erased:
                faults_found.append(Fault("said", named, "body or salt", "is there though it was erased"))
            elif None in (row.salt, row.body) or digest != _digest(row.salt, row.name, row.job_id, row.body):
                faults_found.append(Fault("said", named, "body or salt", "does not match the log's digest"))
        for organisation, seq, name in self._digests:
            faults_found.append(
                Fault("said", f"organisation {organisation} entry {seq} {name}", "name", "missing")
            )


def _digest(salt: bytes, name: str, job_id: str | None, text: str) -> str:
    return salted(salt, f"{name} {job_id or ''}", text.encode("utf-8", "surrogateescape"))
