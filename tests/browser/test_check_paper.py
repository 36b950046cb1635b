"""The check page's comparing in a real browser: what it says of a file, and that nothing of it leaves."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp import demo, sealing
from heaterapp.issue import submission
from tests.sealing.conftest import small_paper

pytestmark = pytest.mark.browser


def _issued(store: Any, answers: dict[str, Any]) -> tuple[Any, bytes, bytes]:
    """A record with a small archival paper, that paper, and the same sealed by the firm's key."""
    firm = store.organisations.default()
    riley = store.people.by_login(firm.id, "riley")
    job = store.jobs.create(firm.id, riley.id, answers)
    job = store.jobs.save_signature(firm.id, job.id, {"signatures": [{"name": riley.name, "method": "typed"}]})
    paper = small_paper()
    papers = {"certificate.pdf": small_paper("plain"), "certificate-archival.pdf": paper}
    issued = store.issue_and_finish(submission(riley, job, f"{job.id}.check"), lambda _: papers)
    key = sealing.new_key(firm.name, store.database.moment())
    held = store.seals.current(firm.id)
    store.seals.make(firm.id, None, key.certificate, key.private, held.fingerprint if held else None)
    return store.records.get(firm.id, issued.record), paper, sealing.seal(paper, key)


def test_files_are_told_apart_and_nothing_is_sent(served: Any, person: Any) -> None:
    store = served.store()
    record, paper, sealed = _issued(store, demo.answers_of(demo.STORIES[0]))
    store.close()
    page = person(None)
    page.goto(f"{served.url}/check?number={record.number}&code={record.check_code}")
    sent: list[str] = []
    page.on("request", lambda one: sent.append(one.url))
    flipped = bytearray(paper)
    flipped[700] ^= 1
    cases = {
        "The paper as issued, byte for byte.": paper,
        "The paper as issued, with this contractor's seal after it, untouched.": sealed,
        "Something was added after it was sealed.": sealed + b"% more\n",
        "The paper as issued, with something appended: a seal, or an addition.": paper + b"% more\n",
        "Not this paper, byte for byte.": bytes(flipped),
        "This file is empty: 0 bytes. A PDF was expected.": b"",
    }
    for words, body in cases.items():
        page.set_input_files("#pdf", {"name": "paper.pdf", "mimeType": "application/pdf", "buffer": body})
        page.wait_for_function("words => document.querySelector('#told p')?.textContent === words", arg=words)
    # Dropped, not chosen: the same.
    page.evaluate(
        """bytes => { const moved = new DataTransfer();
        moved.items.add(new File([Uint8Array.from(bytes)], "paper.pdf"));
        document.getElementById("drop").dispatchEvent(new DragEvent("drop", {dataTransfer: moved, cancelable: true})); }""",
        list(sealed),
    )
    page.wait_for_selector("#told .same")
    assert sent == [], "the file stays on the device"
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
