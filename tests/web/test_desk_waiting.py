"""The desk of what waits: a job whose only paper is void, and what the log names at the desk."""

from __future__ import annotations

import html
from typing import Any

VOID = "Its only paper is void: a new one is needed"


def test_a_job_whose_only_paper_is_void_is_told_first_and_opened_again(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    record, me = issue(), people["a", "office"]
    june, page = visit("office"), f"/office/desk/{record.job_id}"
    assert VOID not in june.get("/office/desk").text
    assert june.post(f"{page}/open-again").status_code == 409
    store.void(me.organisation, record.id, me.id, "wrong heater")
    board = june.get("/office/desk").text
    assert f'<h2 id="void">{VOID}</h2>' in board
    assert board.index(VOID) < board.index("All jobs")
    assert "1 job, of them 1 above whose only paper is void" in board
    assert f"{VOID}. Open the job again." in html.unescape(june.get(page).text)
    assert june.post(f"{page}/open-again").status_code == 303
    assert store.jobs.get(me.organisation, record.job_id).state == "draft"
    board = june.get("/office/desk").text
    assert VOID not in board
    assert f"{record.number} was declared void." in board


def test_an_entry_of_the_desk_names_no_paper_of_later(
    visit: Any, store: Any, issue: Any, people: Any
) -> None:
    june, me = visit("office"), people["a", "office"]
    job = store.desk.open(me.organisation, me.id, "00000000-0000-4000-8000-000000000009", {}, {}).job
    first = issue()
    store.desk.save(me.organisation, me.id, first.job_id, facts={"parcel_no": "1"})
    second = issue(job_id=first.job_id)
    log = june.get("/office/log").text
    opened, saved = (
        next(line for line in log.splitlines() if said in line)
        for said in ("opened a job at the desk", "changed a job at the desk")
    )
    assert f"/office/desk/{job.id}" in opened
    assert first.number in saved
    assert second.number not in saved
