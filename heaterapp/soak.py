"""Soak of issuing: many writers, hard kills, real papers beside; then gaps, duplicates, losses are counted.

    python -m heaterapp.soak --writers 16 --issues 100000 --kills 1000 --papers 200

Each writer issues, corrects, voids and sends again, and is killed with SIGKILL at random moments; at the
end every number, key and acknowledgement is held against the archive. Exits 1 when anything is wrong.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from heaterapp import demo
from heaterapp.archive.shapes import Issued
from heaterapp.archive.soak import Soak, run
from heaterapp.archive.soak_writer import patiently, who
from heaterapp.issue import submission


def real_papers(store: Any, count: int) -> int:
    """Issue `count` demo jobs with their real papers and read every paper back.

    returns  how many papers were read back and are what was rendered
    raises   AssertionError for a paper that is not
    """
    from heaterapp import certificate

    organisation, person_id = patiently(lambda: who(store))
    person = store.people.get(organisation, person_id)
    stories = [story for story in demo.STORIES if story.visits]
    rendered: dict[int, dict[str, bytes]] = {}

    def render(record: Any) -> dict[str, bytes]:
        rendered[record.id] = certificate.render_files(record)
        return rendered[record.id]

    def issue(at: int) -> Issued:
        key = f"real-paper-{at:06}"
        known = store.records.by_key(organisation, key)
        if known is not None and known.finished:
            return known
        job = jobs[at]
        return store.issue_and_finish(submission(person, job, key), render)

    jobs: dict[int, Any] = {}
    answers: list[Issued] = []
    for at in range(count):
        jobs[at] = patiently(lambda at=at: _signed(store, organisation, person, stories[at % len(stories)]))
        answers.append(patiently(lambda at=at: issue(at)))
    read_back = 0
    for answer in answers:
        for name, body in rendered[answer.record].items():
            kept = patiently(lambda one=answer, name=name: store.records.file(organisation, one.record, name))
            if kept != body or not kept.startswith(b"%PDF-"):
                raise AssertionError(f"{answer.number} {name} is not what was rendered")
        read_back += 1
    certificate.shutdown()
    return read_back


def _signed(store: Any, organisation: int, person: Any, story: demo.Story) -> Any:
    job = store.jobs.create(organisation, person.id, demo.answers_of(story))
    signed = {"signatures": [{"name": person.name, "role": "installer", "method": "typed"}]}
    return store.jobs.save_signature(organisation, job.id, signed)


def options(name: str) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog=name, description=__doc__.split("\n")[0])
    parser.add_argument("--writers", type=int, default=16)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--issues", type=int, default=0, help="end after so many; else after the seconds")
    parser.add_argument("--seconds", type=float, default=60, help="the time it may take")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--papers", type=int, default=0, help="so many real PDFs beside")
    return parser


def carried_out(chosen: argparse.Namespace, url: str | None, **more: Any) -> int:
    """Run the soak in a folder of its own, print its account, and return the exit status."""
    folder = Path(tempfile.mkdtemp(prefix="soak-"))
    if chosen.papers:
        more["beside"] = lambda store, _: real_papers(store, chosen.papers)
    soak = Soak(
        folder, chosen.writers, chosen.kills, chosen.issues, chosen.seconds, chosen.seed, url, **more
    )
    ends = f"{chosen.issues} issues" if chosen.issues else f"{chosen.seconds:g} s"
    print(f"{chosen.writers} writers, {chosen.kills} kills, {ends} ...", flush=True)
    try:
        outcome = run(soak, lambda line: print(time.strftime("%H:%M:%S"), line, flush=True))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    print("\n".join(outcome.lines()))
    return 1 if outcome.faults else 0


def main(arguments: list[str] | None = None) -> int:
    parser = options("python -m heaterapp.soak")
    parser.add_argument("--url", help="an empty database, such as postgresql+psycopg://soak@/soak")
    chosen = parser.parse_args(arguments)
    return carried_out(chosen, chosen.url)


if __name__ == "__main__":
    sys.exit(main())
