"""The part of verify that holds what a sweep looks up against the content of its record."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from typing import Any

from heaterapp.archive.sweeping import Amiss, Marks, amiss_of, marks_of

Key = tuple[int, int]
Complain = Callable[[str, int, str, str], None]


class Sweeps:
    """What the contents of a batch say should stand in the sweep's rows."""

    def __init__(self) -> None:
        self._marks: dict[Key, Marks] = {}
        self._amiss: dict[Key, Amiss] = {}

    def note(self, key: Key, name: str, body: bytes) -> None:
        """Take one content of a record as it was read."""
        if name == "job":
            self._marks[key] = marks_of(body)
        elif name == "report":
            self._amiss[key] = amiss_of(body)

    def check(
        self, keys: Iterable[Key], rows: Iterable[Any], findings: Iterable[Any], erased: set[Key],
        complain: Complain,
    ) -> None:  # fmt: skip
        """Hold the stored rows of these records against what was noted."""
        kept = {(row.organisation, row.record): row for row in rows}
        found: dict[Key, set[tuple[str, str]]] = defaultdict(set)
        for row in findings:
            found[row.organisation, row.record].add((row.check_name, row.verdict))
        for key in keys:
            row = kept.get(key)
            if key in erased:
                left = [name for name, there in (("sweep", row), ("sweep_finding", found[key])) if there]
                for name in left:
                    complain(name, key[1], "record", "is still there after the erasure")
                continue
            if row is None:
                complain("sweep", key[1], "record", "missing")
            else:
                for name, value in self._marks.get(key, marks_of(None)).items():
                    if getattr(row, name) != value:
                        complain("sweep", key[1], name, "is not that of the record's content")
            for check, verdict in sorted(found[key] ^ set(self._amiss.get(key, ()))):
                what = f"{check} {verdict} and the record's report differ"
                complain("sweep_finding", key[1], "check_name or verdict", what)
