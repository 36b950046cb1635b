"""The whole of it once: an archive with real papers, a backup while others write, the drill, and issuing on.

    python -m heaterapp.rehearsal --records 250 --papers 200 --writers 4

Everything is of the invented town and lies in a passing folder. With --url an empty PostgreSQL holds the
archive. Exits 1 when anything is lost, differs, or does not go on with the next number.
"""

from __future__ import annotations

import argparse
import multiprocessing
import shutil
import sys
import tempfile
import time
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

from heaterapp import archive, demo
from heaterapp.archive import backups
from heaterapp.drilling import drill
from heaterapp.issue import submission

say = partial(print, flush=True)
WRITER = "rehearsal"
AT_ONCE = 2


def plain_paper(record: archive.Record) -> Mapping[str, bytes]:
    """Return one short file instead of papers, for what is issued only to be in the way."""
    return {"certificate.pdf": b"%PDF-1.7 " + record.number.encode()}


def issue(store: archive.Store, person: archive.Person, at: int, render: Any) -> archive.Issued:
    """Issue one demo job anew, by its turn."""
    stories = [story for story in demo.STORIES if story.visits and not story.only]
    answers = demo.answers_of(stories[at % len(stories)])
    answers["heater_serial"] = f"RH{at:08}"
    job = store.jobs.create(person.organisation, person.id, answers)
    signed = {"signatures": [{"name": person.name, "role": "installer", "method": "typed"}]}
    job = store.jobs.save_signature(person.organisation, job.id, signed)
    return store.issue_and_finish(submission(person, job, f"rehearsal-{job.id}"), render)


def write(folder: str, url: str | None, writer: int, go: Any, told: Any) -> None:
    """Issue until `go` is cleared; say how many."""
    store = archive.open_store(url=url, data_dir=folder, upgrade=False)
    person = _person(store)
    count = 0
    while go.is_set():
        issue(store, person, writer * 1000 + count, plain_paper)
        count += 1
        told.value = count
    store.close()


def rehearse(folder: Path, records: int, papers: int, writers: int, url: str | None) -> bool:
    """Go through it all in an empty folder; print a line a step; return whether all held."""
    from heaterapp.certificate import render_files

    store = archive.open_store(url=url, data_dir=folder / "data")
    firm = store.organisations.default()
    store.organisations.save(firm.id, name=demo.FIRM, **demo.FIRM_FACTS)
    store.people.add(firm.id, WRITER, "Riley Okafor", "installer", "not a password of anybody")
    began = time.monotonic()
    real = _fill(store, records, papers, render_files)
    say(f"Filled    {time.monotonic() - began:6.1f} s  {records} records, {papers} of them with real papers.")
    made, before, after, took = _backed_up_while_writing(store, folder, writers, url)
    held = made.manifest["counts"]["record"]
    say(
        f"Backup    {took:6.1f} s  {made.path.name}, {made.size / 1e6:.1f} MB, {held} records;"
        f" {writers} writers issued {before} before it and {after - before} while it was made."
    )
    good = drill(made.path, papers, render=render_files, place=folder, among=real)
    restored = folder / "restored"
    backups.restore(made.path, restored)
    again = archive.open_store(data_dir=restored, upgrade=False)
    again.finish_pending(plain_paper)
    answer = issue(again, _person(again), 99_999, plain_paper)
    same_kind = sum(1 for number in _numbers(again, firm.id) if number[0] == answer.number[0])
    goes_on = int(answer.number.rpartition("-")[2]) == same_kind
    whole = again.verify().ok and store.verify().ok
    say(f"Issued on {answer.number}, the next of {same_kind}: {'right' if goes_on else 'WRONG'};"
          f" both archives verify: {'yes' if whole else 'NO'}.")  # fmt: skip
    again.close()
    store.close()
    return good and goes_on and whole and after > before


def _fill(store: archive.Store, records: int, papers: int, render: Any) -> set[tuple[int, int]]:
    person = _person(store)

    def one(at: int) -> archive.Issued:
        return issue(store, person, at, render if at < papers else plain_paper)

    with ThreadPoolExecutor(AT_ONCE) as hands:
        issued = list(hands.map(one, range(records)))
    return {(person.organisation, answer.record) for answer in issued[:papers]}


def _backed_up_while_writing(
    store: archive.Store, folder: Path, writers: int, url: str | None
) -> tuple[backups.Backup, int, int, float]:
    spawning = multiprocessing.get_context("spawn")
    go, told = spawning.Event(), [spawning.Value("i", 0) for _ in range(writers)]
    go.set()
    given = [(str(folder / "data"), url, at + 1, go, told[at]) for at in range(writers)]
    at_work = [spawning.Process(target=write, args=one) for one in given]
    for process in at_work:
        process.start()
    try:
        while any(one.value < 1 for one in told) and all(process.is_alive() for process in at_work):
            time.sleep(0.05)
        before = sum(one.value for one in told)
        began = time.monotonic()
        made = store.backups.make(folder / "backups")
        took = time.monotonic() - began
        after = sum(one.value for one in told)
    finally:
        go.clear()
        for process in at_work:
            process.join()
    if any(process.exitcode for process in at_work):
        raise SystemExit("A writer broke off.")
    return made, before, after, took


def _person(store: archive.Store) -> archive.Person:
    found = store.people.by_login(store.organisations.default().id, WRITER)
    assert found is not None  # noqa: S101
    return found


def _numbers(store: archive.Store, organisation: int) -> list[str]:
    found, after = [], None
    while True:
        page = store.find(organisation, after=after, limit=200)
        found += [hit.number for hit in page.hits]
        if page.next is None:
            return found
        after = page.next


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m heaterapp.rehearsal", description=__doc__.split("\n")[0])
    parser.add_argument("--records", type=int, default=250)
    parser.add_argument(
        "--papers", type=int, default=200, help="so many of them with real PDFs, all made again"
    )
    parser.add_argument("--writers", type=int, default=4)
    parser.add_argument("--url", help="an empty database, such as postgresql+psycopg://you@/rehearsal")
    chosen = parser.parse_args(arguments)
    folder = Path(tempfile.mkdtemp(prefix="rehearsal-"))
    try:
        good = rehearse(folder, chosen.records, chosen.papers, chosen.writers, chosen.url)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
