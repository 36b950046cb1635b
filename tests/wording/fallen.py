"""Whatever tells of a paper that is void or was replaced: what is handed out of it, its record, every other page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

from heaterapp.archive.copies import Copy
from heaterapp.archive.shapes import Hit, PublicRecord, Status
from tests.wording.pages import AT, NUMBERS, Judged, Office, _Over

STATES = {"void": ("2026-11-26T09:00:00Z", None, None), "replaced": (None, 2, "C-000002")}
"""When it was made void, and what replaced it."""
VIEWS = ("insurer", "warranty", "address", "paper", "redacted")


class Fallen:
    """An office whose one paper stands no more, for its owner, who may open every page."""

    def __init__(self, office: Office, state: str) -> None:
        self._office, self._state, self._view = office, state, ""
        person = office.store.people.add(office.firm, state, "June Marsh", "owner", "a long pass phrase")
        self._token, _ = office.store.sessions.start(office.firm, person.id, "words")
        self._client = office.app.test_client()

    def told(self, now: Judged) -> Iterator[tuple[str, str]]:
        """Everything that tells of this job's paper, each by its name."""
        office, number = self._office, NUMBERS[now.kind]
        office.now = now
        office.record = office._opened()
        usual, office.app.extensions["archive"] = office.app.extensions["archive"], self._handed()
        pages = {
            "record": f"/office/records/{number}", "issued page": f"/jobs/{office.job.id}/issued",
            "check page": f"/check?number={number}&code=7KQ2-M4XD-9TRA",
            "homeowner's page": "/s/words", "homeowner's page in Spanish": "/s/words?lang=es",
        }  # fmt: skip
        with self._client.session_transaction() as session:
            session["token"] = self._token
        try:
            for self._view in VIEWS:
                yield self._view, self._page(f"/office/records/{number}/copy/1")
            for name, address in pages.items():
                yield name, self._page(address)
        finally:
            office.app.extensions["archive"] = usual

    def _page(self, address: str) -> str:
        answer = self._client.get(address)
        if answer.status_code != 200:
            raise RuntimeError(f"{address} answered {answer.status_code}")
        return answer.get_data(as_text=True)

    def _handed(self) -> Any:
        own, real = self._office._handed(), self._office.store
        records = _Over(
            own.records, status=lambda *_: self._status(), hit=lambda *_: self._hit(), present=lambda *_: None,
            of_job=lambda *_: [self._hit()], check=lambda *_: self._public(), file=lambda *_: b"%PDF",
            file_sizes=lambda *_: dict.fromkeys(own.records.file_names(), 240_000),
        )  # fmt: skip
        asked = {"asked_by": "Bay Realty", "purpose": "a sale", "consent": "yes"}
        copies = SimpleNamespace(given=lambda *_: Copy(1, 1, AT, None, {"what": self._view, **asked}))
        found = SimpleNamespace(hits=[self._hit()])
        over = {"records": records, "copies": copies, "find": lambda *_, **__: found}
        return _Over(own, sessions=real.sessions, **over)

    def _status(self) -> Status:
        at, by, number = STATES[self._state]
        return Status(1, True, by, number, self._office.person.id, at, "wrong heater" if at else None)

    def _hit(self) -> Hit:
        at, by, number = STATES[self._state]
        return replace(
            self._office._hit(), superseded_by=by, superseded_by_number=number, voided_at=at, void_reason="wrong heater"
        )

    def _public(self) -> PublicRecord:
        at, _, number = STATES[self._state]
        return replace(
            self._office._public(), state=self._state, replaced_by=number, present=None, since=at or AT
        )
