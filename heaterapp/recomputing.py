"""A certificate made again from what is stored: its answers, its archived ruleset, its papers.

    recompute(store, org, record) -> Recomputed

The report has to come out byte for byte; so have the papers, unless another release of the renderer made
them, which is told. A ruleset that was never released is not run.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from heaterapp import archive, releases
from heaterapp.compared import changes
from heaterapp.judged_again import AnswersRefused, CannotJudge, Judge

KEPT_JUDGES = 3
SAME, DIFFERS, OTHER_RELEASE, HARMED, MISSING, MADE_NEW = (
    "same", "differs", "other_release", "harmed", "missing", "made_new",
)  # fmt: skip
UNMADE = "unmade"
NEVER_RELEASED, CANNOT, ERASED, UNFINISHED = "never_released", "cannot", "erased", "unfinished"
SOUND = {SAME, OTHER_RELEASE}
WORDS = {
    SAME: "the same, byte for byte",
    DIFFERS: "differs",
    OTHER_RELEASE: "other bytes than today's renderer makes, as another release of it made this paper;"
    " the stored one is unharmed",
    HARMED: "the stored paper is not the one that was made: its digest differs from the log",
    MISSING: "is not stored, though the renderer makes it",
    MADE_NEW: "is stored, though the renderer does not make it",
    UNMADE: "could not be made again",
    NEVER_RELEASED: "its ruleset was never released here, so it was not judged",
    CANNOT: "could not be made again",
    ERASED: "its content was erased for privacy: there is nothing left to make again",
    UNFINISHED: "its papers are not stored yet",
}


@dataclass(frozen=True)
class Recomputed:
    """What came of making one record again."""

    number: str
    report: str
    """same, differs, never_released, cannot, erased or unfinished."""
    why: tuple[str, ...] = ()
    """In what the report differs, or what stood in the way."""
    papers: tuple[tuple[str, str], ...] = ()
    """File name and same, differs, other_release, harmed, missing, made_new or unmade; empty: unasked."""

    @property
    def ok(self) -> bool:
        """Whether nothing differs; an erased record has nothing left that could."""
        return self.report in (SAME, ERASED) and all(said in SOUND for _, said in self.papers)


class Judges:
    """A process for each ruleset that is in use, the few that were used last; close it at the end."""

    def __init__(self) -> None:
        self._open: dict[str, Judge] = {}

    def __enter__(self) -> Judges:
        return self

    def __exit__(self, *_: object) -> None:
        for judge in self._open.values():
            judge.close()
        self._open.clear()

    def by(self, digest: str, ruleset_zip: bytes) -> Judge:
        """Return the process of this ruleset."""
        judge = self._open.pop(digest, None) or Judge(ruleset_zip)
        self._open[digest] = judge
        if len(self._open) > KEPT_JUDGES:
            self._open.pop(next(iter(self._open))).close()
        return judge


def recompute(
    store: archive.Store,
    org: int,
    record: int,
    *,
    judges: Judges | None = None,
    render: Callable[[Any], Mapping[str, bytes]] | None = None,
    vouched: Callable[[str, bytes], bool] = lambda digest, body: False,
) -> Recomputed:
    """Make one record again and compare; nothing is changed.

    judges   processes to use again, for many records; one of its own by default
    render   makes the papers again too; they are left alone without it
    vouched  whether another archive, the one in use, vouches for a ruleset's bytes under their digest
    raises   archive.NotFound
    """
    status = store.records.status(org, record)
    try:
        known = store.records.get(org, record)
    except archive.Erased:
        # Its number stays; whoever shows this knows it.
        return Recomputed("", ERASED)
    if not status.finished:
        return Recomputed(known.number, UNFINISHED)
    if judges is None:
        with Judges() as own:
            report, why = _judged(store, known, own, vouched)
    else:
        report, why = _judged(store, known, judges, vouched)
    papers: tuple[tuple[str, str], ...] = ()
    if render is not None and report == SAME:
        try:
            made = render(known)
        except (
            Exception
        ) as fault:  # whatever it raises, the other records are still to be looked at
            said = f"{type(fault).__name__}: {fault}"[:500]
            return Recomputed(known.number, report, (said,), (("papers", UNMADE),))
        papers = papers_of(store, known, made, getattr(render, "release", None))
    return Recomputed(known.number, report, why, papers)


def _judged(
    store: archive.Store, known: archive.Record, judges: Judges, vouched: Callable[[str, bytes], bool]
) -> tuple[str, tuple[str, ...]]:
    org = known.organisation
    ruleset = store.records.ruleset(org, known.ruleset_digest)
    in_log = store.origins.of(org, known.id).ruleset_in_log or vouched(known.ruleset_digest, ruleset)
    if not releases.was_released(ruleset, in_log):
        return NEVER_RELEASED, (f"Ruleset {known.ruleset_version}, {known.ruleset_digest}.",)
    try:
        made = judges.by(known.ruleset_digest, ruleset).judge(known.job)
    except AnswersRefused as refused:
        return CANNOT, (f"Its own ruleset does not read its answers: {refused}.",)
    except CannotJudge as fault:
        return CANNOT, (str(fault),)
    if made == known.report:
        return SAME, ()
    return DIFFERS, _differences(known.report, made)


def _differences(stored: bytes, made: bytes) -> tuple[str, ...]:
    try:
        found = changes(json.loads(stored), json.loads(made))
    except (ValueError, KeyError, TypeError, AttributeError):
        return ("The stored report is not one that can be read.",)
    if not found:
        return ("Verdicts and outcome agree; the wording, a number or a figure differs.",)
    return tuple(_said(one) for one in found.values())


def _said(one: Mapping[str, Any]) -> str:
    what = one.get("check", "outcome")
    return f"{what}: stored {one.get('before', 'nothing')}, made again {one.get('now', 'nothing')}"


def papers_of(
    store: archive.Store,
    known: archive.Record,
    made: Mapping[str, bytes],
    release: Callable[[], str] | None,
) -> tuple[tuple[str, str], ...]:
    """Compare papers just made with those stored, file by file; see `Recomputed.papers`.

    made     file name -> bytes
    release  the release of what made them; None: unknown, so that other bytes are never held against it
    """
    org = known.organisation
    names = set(store.records.file_names(org, known.id))
    told = store.origins.of(org, known.id).renderer
    other = release is None or told != release()
    found = []
    for name in sorted(names | made.keys()):
        if name not in names:
            found.append((name, OTHER_RELEASE if other else MISSING))
        elif name not in made:
            found.append((name, OTHER_RELEASE if other else MADE_NEW))
        else:
            stored = store.records.file(org, known.id, name)
            found.append((name, _paper(store, known, name, stored, made[name], other)))
    return tuple(found)


def _paper(
    store: archive.Store, known: archive.Record, name: str, stored: bytes, made: bytes, other: bool
) -> str:
    if not store.origins.unharmed(known.organisation, known.id, name, stored):
        return HARMED
    if stored == made:
        return SAME
    return OTHER_RELEASE if other else DIFFERS
