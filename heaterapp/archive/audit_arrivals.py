"""The part of verify that holds the note of what arrived from a phone against its record and the log."""

from typing import Any

from heaterapp.archive.arriving import DIFFERS, PARCEL, vouched_differs
from heaterapp.archive.audit_sweep import Complain, Key
from heaterapp.archive.canonical import sha256

DIGESTS = {PARCEL: "content_sha256", "report": "report_sha256"}


class Arrived:
    """What the contents of a batch say should stand in the notes of arrivals."""

    def __init__(self) -> None:
        self._digests: dict[Key, dict[str, str]] = {}
        self._salts: dict[Key, bytes] = {}

    def note(self, key: Key, row: Any) -> None:
        """Take one content of a record as it was read."""
        if row.name in DIGESTS and row.body is not None:
            self._digests.setdefault(key, {})[DIGESTS[row.name]] = sha256(row.body)
        if row.name == PARCEL and row.salt is not None:
            self._salts[key] = row.salt

    def check(self, key: Key, record: Any, row: Any | None, said: dict[str, Any], complain: Complain) -> None:
        """Hold one record's note of arrival; `said` is the body of the log entry that issued it."""
        if row is None:
            complain("arrival", record.id, "draft", "missing")
            return
        if row.draft != said.get("key"):
            complain("arrival", record.id, "draft", "is not the key in the log")
        # The record itself is held against the log: who issued it, and when.
        for name, value in (("person", record.issued_by), ("received_at", record.issued_at)):
            if getattr(row, name) != value:
                complain("arrival", record.id, name, "is not the record's")
        digests = self._digests.get(key, {})
        for name in DIGESTS.values():
            # Once erased the record has no content, and no digest of it may be left.
            if getattr(row, name) != digests.get(name, ""):
                complain("arrival", record.id, name, "is not that of the record's content")
        salt = self._salts.get(key)
        if salt is None and row.differs != "":
            complain("arrival", record.id, "differs", "is still there after the erasure")
        elif salt is not None and DIFFERS in said and vouched_differs(salt, row.differs) != said[DIFFERS]:
            complain("arrival", record.id, "differs", "does not match its digest in the log")
