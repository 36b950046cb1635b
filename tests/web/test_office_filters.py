"""The office narrows its records by installer and by days; what cannot be read is named and kept."""

from __future__ import annotations

import html
import re
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest

SHOWN = re.compile(r'<p class="record-number"><b>([^<]+)</b>')


@pytest.fixture
def found(visit: Any) -> Any:
    office = visit("office")

    def numbers(**asked: Any) -> tuple[int, list[str], str]:
        answer = office.get("/office", query_string=asked)
        return answer.status_code, SHOWN.findall(answer.text), answer.text

    return numbers


def test_days_count_by_work_both_ends_with(issue: Any, found: Any) -> None:
    record = issue()
    work = record.facts.work_date
    for since, until, there in (
        (work, work, True), ("", work, True), (work, "", True),
        ("2001-01-01", "2001-12-31", False), ("2099-01-01", "", False),
    ):  # fmt: skip
        status, numbers, _ = found(since=since, until=until)
        assert (status, numbers) == (200, [record.number] if there else []), (since, until)


def test_an_installer_s_own_and_nobody_else_s(issue: Any, found: Any, people: Any) -> None:
    record = issue()
    assert found(installer=people["a", "installer"].id)[1] == [record.number]
    assert found(installer=people["a", "office"].id)[1] == []
    # Another firm's person is nobody here: as if none was chosen.
    assert found(installer=people["b", "installer"].id)[1] == [record.number]


@pytest.mark.parametrize(
    ("since", "until", "says"),
    [
        ("14 March", "", "A day such as 2026-03-14 was expected."),
        ("", "2026-02-30", "A day such as 2026-03-14 was expected."),
        ("2026-03-14", "2026-03-13", "a day on or after it was expected."),
    ],
)
def test_a_day_that_cannot_be_is_named_and_kept(
    issue: Any, found: Any, since: str, until: str, says: str
) -> None:
    issue()
    status, numbers, page = found(since=since, until=until, q="oak")
    assert (status, numbers) == (400, [])
    assert says in page
    for typed in (since, until, "oak"):
        assert f'value="{typed}"' in page
    assert page.count('aria-invalid="true"') == 1


def test_the_next_page_is_narrowed_too(issue: Any, found: Any, monkeypatch: Any, people: Any) -> None:
    monkeypatch.setattr("heaterapp.web.office.PER_PAGE", 1)
    first, second = issue(), issue(heater="electric")
    asked = {"since": first.facts.work_date, "installer": people["a", "installer"].id}
    _, numbers, page = found(**asked)
    assert numbers == [second.number]
    older = re.search(r'href="/office\?([^"]*after=[^"]*)"', page)[1].replace("&amp;", "&")
    assert f"since={asked['since']}" in older
    assert f"installer={asked['installer']}" in older


def test_what_was_found_is_taken_out_narrowed_alike(issue: Any, found: Any, visit: Any, people: Any) -> None:
    record = issue()
    asked = {
        "since": record.facts.work_date, "until": record.facts.work_date, "q": "oak", "kind": "certificate",
        "state": "current", "installer": str(people["a", "installer"].id),
    }  # fmt: skip
    _, [number], page = found(**asked)
    assert number == record.number
    link = html.unescape(re.search(r'href="(/office/exports\?[^"]*)"', page)[1])
    assert dict(parse_qsl(urlsplit(link).query)) == asked
    office = visit("office")
    exports = office.get(link).text
    assert exports.count(f'value="{asked["since"]}"') == 2
    assert f'<option value="{asked["installer"]}" selected>' in exports
    for until, there in ((asked["until"], "1</b> record matches"), ("2001-01-01", "Up to: a date not before")):
        said = office.post("/office/exports/records", {**asked, "until": until, "form": "csv", "act": "count"})
        assert there in said.text
    said = office.post("/office/exports/records", {"since": "2099-01-01", "form": "csv", "act": "count"})
    assert "0</b> records match" in said.text
