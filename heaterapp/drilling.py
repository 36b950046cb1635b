"""The drill: a backup is put back into a throw-away place and held against itself, a step a line.

    drill(backup, recompute=200) -> bool       True when nothing differs

A backup's own log is no witness: its rules are run only where the program or its list of releases knows
them, or the archive in use (`live`) logged the very same bytes. That is all that is read of it.
"""

from __future__ import annotations

import random
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

from heaterapp import archive, recomputing
from heaterapp.archive import backups

AT_ONCE = 2
SHOWN = 20
Say = Callable[[str], None]
Render = Callable[[Any], Mapping[str, bytes]]
_print: Say = partial(print, flush=True)
Known = tuple[int, int]
"""A record, by its organisation and its own id."""


def drill(
    backup: str | Path,
    recompute: int = 200,
    *,
    render: Render | None = None,
    place: str | Path | None = None,
    seed: int | None = None,
    among: Collection[Known] | None = None,
    live: archive.Store | None = None,
    say: Say = _print,
) -> bool:
    """Restore a backup into a folder that is removed again, compare, verify, make records again.

    backup     the folder of one backup
    recompute  how many records are made again, drawn at random; 0 or more
    render     makes their papers again too; they are left alone without it
    place      on whose disk it is tried; the usual one for passing files when left out
    seed       draws the same records again; told in the line when left out
    among      draws from these records alone
    live       the archive in use, which vouches for rules of its own; None for none
    say        is told one line a step
    returns    whether nothing differs
    """
    began = time.monotonic()
    step = _Steps(say)
    good = False
    try:
        # What a drill that was killed has left goes with the next one.
        with backups.folders.part(Path(place or tempfile.gettempdir())) as folder:
            good = _steps(Path(backup), folder / "place", recompute, render, seed, among, live, step)
    except (backups.BackupRefused, archive.ArchiveError) as refused:
        step("Refused", f"{refused}.")
    except OSError as refused:
        step("Refused", f"{place or tempfile.gettempdir()}: {refused.strerror}.")
    say(f"Drill {'passed' if good else 'FAILED'} in {time.monotonic() - began:.1f} s.")
    return good


class _Steps:
    """Says each step with the seconds since the one before."""

    def __init__(self, say: Say):
        self._say, self._last = say, time.monotonic()
        self.line = say

    def __call__(self, name: str, what: str) -> None:
        now = time.monotonic()
        self._say(f"{name:9} {now - self._last:6.1f} s  {what}")
        self._last = now


def _steps(
    backup: Path, place: Path, count: int, render: Render | None, seed: int | None,
    among: Collection[Known] | None, live: archive.Store | None, step: _Steps,
) -> bool:  # fmt: skip
    said = backups.check(backup)
    size = sum(one["size"] for one in said["files"].values())
    step("Files", f"{len(said['files'])} of {backup.name}, {size / 1e6:.1f} MB, each as the manifest says.")
    backups.restore(backup, place, as_it_was=True)
    step("Restored", f"as of {said['made_at']}, {sum(said['counts'].values())} rows.")
    good = _compared(backup, place, said, step)
    store = archive.open_store(data_dir=place, upgrade=False)
    try:
        found = store.verify()
        what = "no fault" if found.ok else f"{len(found.faults)} FAULTS"
        step(
            "Verified",
            f"{found.records} records, {found.payloads} contents, {found.entries} log entries, {what}.",
        )
        for fault in found.faults[:SHOWN]:
            step.line(f"  {fault}")
        told, tells_all = _later(backup, store)
        step("Later", told)
        made = _made_again(store, count, render, seed, among, live, step)
    finally:
        store.close()
    return good and found.ok and tells_all and made


def _later(backup: Path, store: Any) -> tuple[str, bool]:
    path = backup.resolve().parent / backups.later.NAME
    listed = backups.later.read(path)
    if listed is None:
        return f"no {path.name} beside it: what was erased after it would come back untold.", True
    if backups.lacking(store.database, listed):
        return f"{path.name} is older than the backup or another archive's: a restore REFUSES it.", False
    count = len(backups.open_acts(store.database, listed))
    until = backups.reaches(store.database, listed)
    reach = f"until {until}" if until else "it does not say until when"
    return f"{count} erasures and closings came after it ({reach}), which a restore does again.", True


def _compared(backup: Path, place: Path, said: Mapping[str, Any], step: _Steps) -> bool:
    restored = backups.open_place(str(place))
    if restored.revision != said["schema"]:
        restored.close()
        step("Compared", "not row by row: an older version made it, and it was brought up to date.")
        return True
    kept = backups.open_place(str(backup))
    try:
        differing = list(zip(range(SHOWN + 1), backups.differences(kept, restored), strict=False))
    finally:
        kept.close()
        restored.close()
    shown = f"{SHOWN} and more" if len(differing) > SHOWN else str(len(differing))
    step("Compared", f"row for row with the backup, differences: {shown}.")
    for _, difference in differing[:SHOWN]:
        step.line(f"  {difference}")
    return not differing


def _made_again(
    store: Any, count: int, render: Render | None, seed: int | None, among: Collection[Known] | None,
    live: archive.Store | None, step: _Steps,
) -> bool:  # fmt: skip
    if seed is None:
        seed = random.SystemRandom().randrange(10**6)
    drawn = _drawn(store, count, random.Random(seed), among)  # noqa: S311 - a sample, no secret
    found = list(_recomputed(store, drawn, render, live))
    reports = Counter(one.report for _, one in found)
    papers = Counter(said for _, one in found for _, said in one.papers)
    bad = [(known, one) for known, one in found if not one.ok]
    told = f"{len(found)} records (draw {seed}): {reports[recomputing.SAME]} reports byte for byte"
    if reports[recomputing.ERASED]:
        told += f", {reports[recomputing.ERASED]} erased"
    if unjudged := reports[recomputing.NEVER_RELEASED]:
        told += f", {unjudged} not judged: rules never released here"
    if render is not None:
        told += f", {papers[recomputing.SAME]} papers byte for byte"
        if papers[recomputing.OTHER_RELEASE]:
            told += f", {papers[recomputing.OTHER_RELEASE]} papers of another renderer, unharmed"
    step("Remade", f"{told}, {len(bad)} otherwise.")
    for (organisation, record), one in bad[:SHOWN]:
        named = one.number or f"organisation {organisation} record {record}"
        step.line(f"  {named}: report {recomputing.WORDS[one.report]} {' '.join(one.why)}".rstrip())
        for name, word in one.papers:
            if word not in recomputing.SOUND:
                step.line(f"  {named} {name}: {recomputing.WORDS[word]}")
    return not bad


def _drawn(store: Any, count: int, draw: random.Random, among: Collection[Known] | None) -> list[Known]:
    """Draw so many of the finished records, each as likely as any other, in one walk and flat memory."""
    kept: list[Known] = []
    for seen, known in enumerate(_finished(store, among)):
        if len(kept) < count:
            kept.append(known)
        elif count:
            at = draw.randrange(seen + 1)
            if at < count:
                kept[at] = known
    return sorted(kept)


def _finished(store: Any, among: Collection[Known] | None) -> Iterator[Known]:
    for organisation in store.origins.organisations():
        after = 0
        while ids := store.origins.finished(organisation, after):
            yield from ((organisation, one) for one in ids if among is None or (organisation, one) in among)
            after = ids[-1]


def _recomputed(
    store: Any, drawn: list[Known], render: Render | None, live: archive.Store | None
) -> Iterator[tuple[Known, recomputing.Recomputed]]:
    more: dict[str, Any] = {"vouched": live.origins.vouches} if live is not None else {}

    def part(mine: list[Known]) -> list[tuple[Known, recomputing.Recomputed]]:
        with recomputing.Judges() as judges:
            return [
                (known, recomputing.recompute(store, *known, judges=judges, render=render, **more))
                for known in mine
            ]

    with ThreadPoolExecutor(AT_ONCE) as hands:
        for done in hands.map(part, (drawn[at::AT_ONCE] for at in range(AT_ONCE))):
            yield from done
