"""The check page's comparing in a real browser: what it says of a file, and that nothing of it leaves."""

from __future__ import annotations

from typing import Any

import pytest
from typing_in import axe_faults

from heaterapp import demo, sealing
from heaterapp.issue import submission
from tests.sealing.conftest import small_paper

pytestmark = pytest.mark.browser


def _issued(store: Any, answers: dict[str, Any]) -> tuple[Any, bytes, sealing.Key]:
    """A record with a small archival paper, that paper, and the key of the firm's seal."""
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
    return store.records.get(firm.id, issued.record), paper, key


def test_files_are_told_apart_and_nothing_is_sent(served: Any, person: Any) -> None:
    store = served.store()
    record, paper, key = _issued(store, demo.answers_of(demo.STORIES[0]))
    sealed = sealing.seal(paper, key)
    store.close()
    page = person(None)
    page.goto(f"{served.url}/check?number={record.number}&code={record.check_code}")
    sent: list[str] = []
    page.on("request", lambda one: sent.append(one.url))
    known = sealing.Stored(record.number, "certificate-archival.pdf", paper)
    flipped = paper[:700] + bytes([paper[700] ^ 1]) + paper[701:]
    another = small_paper("x", b"{}", "<img src=x> C-999999")
    cases = {
        "stored": paper, "sealed": sealed, "added_after_seal": sealed + b"% more\n", "added": paper + b"% more\n",
        "broken_seal": sealed[:-1], "changed": flipped, "another": another, "no_pdf": b"",
    }  # fmt: skip
    for kind, body in cases.items():
        page.set_input_files("#pdf", {"name": "<b>paper.pdf", "mimeType": "application/pdf", "buffer": body})
        page.wait_for_function("words => document.querySelector('#told p')?.textContent === words", arg=sealing.KINDS[kind])
        assert sealing.look(body, [key.certificate], [known]).kind == kind, "the office is told the same"
        if kind in ("sealed", "changed"):
            assert axe_faults(page, kind) == []
    page.set_input_files("#pdf", {"name": "<b>paper.pdf", "mimeType": "application/pdf", "buffer": another})
    page.wait_for_function("words => document.querySelector('#told').textContent.includes(words)", arg=sealing.CALLS.format(number="C-999999"))
    assert page.locator("#told").locator("b, img").count() == 0, "what a file says of itself is text and no more"
    assert "<b>paper.pdf" in page.locator("#told").text_content()
    # Dropped, not chosen: the same.
    page.evaluate(
        """bytes => { const moved = new DataTransfer();
        moved.items.add(new File([Uint8Array.from(bytes)], "paper.pdf"));
        document.getElementById("drop").dispatchEvent(new DragEvent("drop", {dataTransfer: moved, cancelable: true})); }""",
        list(sealed),
    )
    page.wait_for_selector("#told .same")
    assert sent == [], "the file stays on the device"
    page.locator("#pdf").focus()
    assert page.get_by_label("Choose the PDF").evaluate("box => box === document.activeElement"), "by the keyboard too"
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
