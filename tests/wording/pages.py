"""Whatever tells of a job, made of its answers without issuing it: pages, strip, paper's markup, list, texts.

A real app with its real views, whose archive answers with the job and the record that it is handed.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from unittest import mock

from heaterapp import archive, create_app, rules
from heaterapp.archive.shapes import Hit, PublicRecord, Record, Status
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed, NotReady
from heaterapp.certificate.press import html_of
from heaterapp.certificate.translated import Translated, translated_paper
from heaterapp.filling.judging import judged
from heaterapp.filling.review import follows_html, review_html
from heaterapp.filling.standing import where_it_stands
from heaterapp.filling.told import told
from heaterapp.filling.ways import sections_of
from heaterapp.issue import facts_of
from heaterapp.languages import LANGUAGES, SOURCE, speaking
from heaterapp.mailing import letter
from heaterapp.rules import SECTIONS, engine

AT = "2026-11-26T01:00:00Z"
NUMBERS = {"certificate": "C-000001", "correction_list": "L-000001", "findings_report": "F-000001"}
FIRM = {
    "name": "Harborlight Plumbing", "slug": "harborlight", "licence": "C36-000000", "phone": "555-0142",
    "address": "8 Quay Road, Port Larkin, CA 95999", "settings": {},
}  # fmt: skip


@dataclass(frozen=True)
class Judged:
    """A job as it would be issued: its stored answers, report, outcome, and the paper it ends in."""

    answers: dict[str, Any]
    report: bytes
    outcome: str
    kind: str

    @classmethod
    def of(cls, given: dict[str, Any]) -> Judged:
        """Judge answers; one that could not be issued yet is shown as the list it is nearest to."""
        job = rules.Job(given)
        report = rules.assess(job)
        kind = "correction_list" if report.outcome != "ready" else "certificate"
        kind = "findings_report" if given.get("job_kind") == "existing" else kind
        return cls({**job.canonical(), "place": report.place}, report.to_bytes(), report.outcome, kind)


@contextmanager
def broken(check: str) -> Iterator[None]:
    """Make one check break over every job, as a fault in it would."""
    real = engine._called

    def called(one: Any, *rest: Any) -> Any:
        if one.name == check:
            raise ZeroDivisionError
        return real(one, *rest)

    with mock.patch.object(engine, "_called", called), mock.patch.object(engine._log, "exception"):
        yield


class _Over:
    """A part of the archive, with some of its answers given by us."""

    def __init__(self, real: Any, **ours: Any) -> None:
        self._real, self.__dict__ = real, {**ours, "_real": real}

    def __getattr__(self, name: str) -> Any:
        return getattr(self._real, name)


class Office:
    """One firm, one installer who is signed in, one job; every page of it for whatever answers."""

    def __init__(self, folder: Path) -> None:
        self.store = archive.open_store(data_dir=folder)
        firm = self.store.organisations.default()
        self.firm = firm.id
        self.store.organisations.save(
            firm.id, name=FIRM["name"], phone=FIRM["phone"], address=FIRM["address"]
        )
        self.person = self.store.people.add(
            firm.id, "words", "Riley Okafor", "installer", "a long pass phrase"
        )
        self.job = self.store.jobs.create(firm.id, self.person.id, {"place": "us_ca_2022"})
        self.now: Judged | None = None
        self.record: Record | None = None
        self.app = create_app(
            STORE=self.store, SECRET_KEY="words only " * 3, RENDER=lambda record: {}, TESTING=True
        )
        self.app.extensions["archive"] = self._handed()
        self.client = self.app.test_client()
        token, _ = self.store.sessions.start(firm.id, self.person.id, "words")
        with self.client.session_transaction() as session:
            session["token"] = token

    def close(self) -> None:
        """Close its archive."""
        self.store.close()

    def _handed(self) -> Any:
        real = self.store
        return _Over(
            real,
            jobs=_Over(
                real.jobs, get=lambda *_: self._job(), all=lambda *_, **__: [self._job()],
                jobs_for=lambda *_, **__: [self._job()],
            ),
            records=_Over(
                real.records, of_job=lambda *_: [self._hit()], get=lambda *_: self.record,
                file_names=lambda *_: [f"{self._kind()}.pdf", f"{self._kind()}-archival.pdf"],
                void_of_jobs=lambda *_: set(),
                numbers_of_jobs=lambda *_: {self.job.id: [NUMBERS[self._now.kind]]},
                status=lambda *_: Status(1, True, None, None, self.person.id),
                present=lambda *_: self._hit(), check=lambda *_: self._public(),
            ),
            shares=_Over(
                real.shares,
                lookup=lambda *_: SimpleNamespace(
                    organisation=self.firm, record=1, shows=1, expires_at="2027-01-01T00:00:00Z"
                ),
            ),
            throttle=SimpleNamespace(attempt=lambda *_: None, succeeded=lambda *_: None),
            sessions=_Over(real.sessions, find=_once(real.sessions.find)),
        )  # fmt: skip

    @property
    def _now(self) -> Judged:
        if self.now is None:
            raise LookupError("no job is open")
        return self.now

    def _kind(self) -> str:
        return self._now.kind.replace("_", "-").removesuffix("-report")

    def _job(self) -> archive.Job:
        return replace(self.job, answers=self._now.answers)

    def _hit(self) -> Hit:
        kind = self._now.kind
        facts = facts_of(self._now.answers, "Riley Okafor")
        return Hit(1, NUMBERS[kind], kind, self.job.id, 1, AT, facts, self.person.id, True, None, None)

    def _public(self) -> PublicRecord:
        kind = self._now.kind
        names = {f"{self._kind()}.pdf": "ab" * 32}
        place = self._now.answers["place"]
        books = tuple(sorted({one["book"] for one in report_of(self._now)["findings"] if one["book"]}))
        return PublicRecord(
            number=NUMBERS[kind], kind=kind, issued_at=AT, state="issued", replaced_by=None, place=place,
            ruleset_version="2026.1", ruleset_digest="d1" * 32, content_digest="5e" * 32, files=names,
            sizes=dict.fromkeys(names, 240_000), books=books, keys=("7a" * 32,), present=NUMBERS[kind],
        )  # fmt: skip

    def _opened(self) -> Record:
        now = self._now
        return Record(
            1, self.firm, NUMBERS[now.kind], now.kind, self.job.id, 1, None, None, AT,
            {"name": "Riley Okafor", "role": "installer"}, FIRM, rules.canonical_bytes(now.answers), now.report,
            None, facts_of(now.answers, "Riley Okafor"), {"check_address": "https://port-larkin.example/check"}, "",
            "d1" * 32, "2026.1", "3f" * 32, "5e" * 32, "7KQ2-M4XD-9TRA",
        )  # fmt: skip

    def told(self, now: Judged, language: str = "en") -> Iterator[tuple[str, str]]:
        """Everything that tells of this job, each by its name, as markup or text.

        language  the installer's, "en" or "es"; the homeowner's page is told in both, the paper in this one too
        """
        self.now = now
        self.record = self._opened()
        job, number = self.job.id, NUMBERS[now.kind]
        addresses = {
            "review": f"/jobs/{job}/review", "issued page": f"/jobs/{job}/issued", "list of jobs": "/jobs",
            "check page": f"/check?number={number}&code=7KQ2-M4XD-9TRA",
            "homeowner's page": "/s/words", "homeowner's page in Spanish": "/s/words?lang=es",
        }  # fmt: skip
        for name, address in addresses.items():
            answer = self.client.get(address, headers={"Accept-Language": language})
            if answer.status_code != 200:
                raise RuntimeError(f"{name} answered {answer.status_code}")
            yield name, answer.get_data(as_text=True)
        with speaking(language):
            yield "live strip", self._strip()
        yield from self._papers(language)
        yield from self._mails()

    def _strip(self) -> str:
        answers = self._now.answers
        live = told(answers, (), None, tuple(SECTIONS))
        stands = where_it_stands(answers, judged(answers), live)
        review = review_html(answers, judged(answers), live, sections_of(live["asked"]), stands)
        parts = (live["tallies"], live["sections"], live["said"])
        lines = (part for told_by in parts for part in told_by.values())
        return "\n".join((f"<p>{stands.lead}</p>", live["hazard"], *lines, review, follows_html(stands)))

    def _papers(self, language: str) -> Iterator[tuple[str, str]]:
        filed = Filed.of(self.record)
        yield "paper", html_of(paper_of(filed))
        if language != SOURCE:
            yield f"paper, {language}", html_of(translated_paper(Translated(filed, language)))
        if self._now.outcome != "ready":
            try:
                paper_of(replace(filed, kind="certificate"))
            except NotReady:
                return
            yield "paper", "A certificate passed though the report allows none."

    def _mails(self) -> Iterator[tuple[str, str]]:
        now, facts = self._now, facts_of(self._now.answers, "Riley Okafor")
        told = letter.Told(
            now.kind, NUMBERS[now.kind], str(now.answers.get("heater_kind") or ""), facts.address or "",
            facts.work_date or "", {name: str(FIRM[name]) for name in ("name", "licence", "phone")},
        )  # fmt: skip
        link = "https://port-larkin.example/s/words"
        for language in LANGUAGES:
            lines = [letter.subject(told, language), *letter.sentences(told, language, link)]
            yield f"mail, {language}", "\n".join(lines)


def _once(find: Any) -> Any:
    kept: dict[str, Any] = {}

    def found(token: str) -> Any:
        if token not in kept:
            kept[token] = find(token)
        return kept[token]

    return found


def report_of(now: Judged) -> dict[str, Any]:
    """Its report as plain data."""
    read: dict[str, Any] = json.loads(now.report)
    return read
