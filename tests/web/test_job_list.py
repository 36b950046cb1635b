"""The list of jobs: as cheap for many as for few, and every one of them is reached."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from sqlalchemy import event


def test_the_list_asks_the_database_no_more_for_many_jobs(
    visit: Callable[..., Any], store: Any, issue: Any
) -> None:
    visitor = visit("installer")
    asked: list[str] = []
    event.listen(store.database.engine, "before_cursor_execute", lambda *more: asked.append(more[2]))

    def statements() -> int:
        visitor.get("/jobs")
        asked.clear()
        visitor.get("/jobs")
        return len(asked)

    issue()
    few = statements()
    numbers = [issue().number for _ in range(4)]
    assert statements() == few
    assert all(number in visitor.get("/jobs").text for number in numbers)


def test_every_job_is_reached_though_there_are_more_than_a_page_shows(
    visit: Callable[..., Any], store: Any, people: dict[tuple[str, str], Any]
) -> None:
    person = people["a", "installer"]
    made = {store.jobs.create(person.organisation, person.id, {}).id for _ in range(103)}
    visitor, path, seen = visit("installer"), "/jobs", []
    while path:
        page = visitor.get(path).text
        seen += re.findall(r'class="job-link" href="/jobs/([0-9a-f-]+)"', page)
        older = re.search(r'href="(/jobs\?after=[0-9a-f-]+)">Older', page)
        path = older.group(1) if older else ""
    assert len(seen) == len(set(seen)) == 103
    assert set(seen) == made
    assert visit("installer", firm="b").get(f"/jobs?after={seen[0]}").status_code == 404
