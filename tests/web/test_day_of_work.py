"""Nothing is signed for work of a later day than the day of issue: the firm's here, and on a phone the day it names."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.filling import door
from heaterapp.filling.signed import lacking
from heaterapp.firm_clock import day_words
from tests.web.conftest import job_answers
from tests.web.sent import signed, told

MOMENT = datetime(2026, 11, 26, 20, 50, tzinfo=UTC)
DAYS = {
    "America/Los_Angeles": ("2026-11-26", "2026-11-27"),
    "Pacific/Guam": ("2026-11-27", "2026-11-28"),
    None: ("2026-11-27", "2026-11-28"),
}
"""Zone -> the day that it is there at the moment, and the day after; of a firm without one, anywhere."""


@pytest.fixture(params=DAYS)
def zone(request: Any, store: Any, monkeypatch: Any) -> str | None:
    monkeypatch.setattr(store.database, "clock", lambda: MOMENT)
    store.organisations.save_settings(1, {"time_zone": request.param})
    return request.param  # type: ignore[no-any-return]


def test_the_archive_takes_today_by_the_firm_s_clocks_and_no_later_day(
    visit: Any, phone: Any, store: Any, zone: str | None
) -> None:
    today, later = DAYS[zone]
    visitor = visit("installer")
    job = visitor.begin()
    visitor.told(job, job_answers("gas_storage_us_ca") | {"work_date": later})
    refused = visitor.sign(job)
    says = (
        f"The date of the work, {day_words(later)}, is still to come:"
        f" expected {day_words(today)} or a day before it."
    )
    assert (refused.status_code, says in refused.text) == (422, True)
    assert says in visitor.get(f"/jobs/{job}/review").text
    job_page = BeautifulSoup(visitor.get(f"/jobs/{job}/job").text, "html.parser")
    assert job_page.select_one("[name=work_date]")["value"] == later
    sent = phone.send(signed(job_answers("gas_storage_us_ca") | {"work_date": later}))
    assert told(sent) == (422, "fields")
    assert sent.json["fields"]["work_date"].startswith(says)
    assert store.records.of_job(1, job) == []
    visitor.told(job, {"work_date": today})
    assert visitor.sign(job).status_code in (302, 303)


@pytest.mark.parametrize(("today", "later"), DAYS.values())
def test_a_phone_goes_by_the_day_that_it_names(today: str, later: str) -> None:
    def sealed(day: str, **more: str) -> dict[str, Any]:
        answers = job_answers("gas_storage_us_ca") | {"work_date": day}
        answer: dict[str, Any] = json.loads(door.call(json.dumps({"do": "seal", "answers": answers, **more})))
        return answer

    assert "kind" in sealed(today, today=today)
    assert f"expected {day_words(today)} or a day before it" in json.dumps(sealed(later, today=today))
    assert sealed(today, today="tomorrow")["code"] == "bad_wish"


def test_without_a_day_the_latest_that_it_is_anywhere_counts() -> None:
    assert "date" not in lacking({"work_date": datetime.now(UTC).date().isoformat()}, None)
    assert "date" in lacking({"work_date": "2099-01-01"}, None)
