"""A record's days are the firm's own on a copy's cover and in a translation, as on its page."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from bs4 import BeautifulSoup

from .test_handed_out import give


def test_a_cover_and_a_translation_tell_the_day_that_the_page_tells(
    visit: Any, issue: Any, store: Any, app: Any, people: Any, monkeypatch: Any
) -> None:
    covers: list[Any] = []
    translated: list[Any] = []
    app.config["RENDER_COVER"] = lambda cover: covers.append(cover) or b"%PDF cover"
    app.config["RENDER_TRANSLATED"] = lambda made: translated.append(made) or b"%PDF"
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2026, 11, 26, 20, 50, tzinfo=UTC))
    org = people["a", "office"].organisation
    store.organisations.save_settings(org, {**store.organisations.get(org).settings, "time_zone": "Pacific/Guam"})
    opened = issue()
    # The firm's clocks moved since: a paper tells its days by the zone that it kept.
    store.organisations.save_settings(org, {**store.organisations.get(org).settings, "time_zone": "UTC"})
    store.void(org, opened.id, people["a", "office"].id, "wrong house")
    clerk = visit("office")
    assert "Void since 27 Nov 2026" in clerk.get(f"/office/records/{opened.number}").text
    clerk.get(f"{give(clerk, opened.number, told_void='yes').location}/cover.pdf")

    clerk.get(f"/office/records/{opened.number}/in/es.pdf")
    visit("installer").get(f"/jobs/{opened.job_id}/papers/{opened.number}/in/es.pdf")
    token, _ = store.shares.make(org, opened.id)
    for language in ("en", "es"):
        visit().get(f"/s/{token}/in/{language}.pdf")
    assert [one.since for one in translated] == ["2026-11-27"] * 4
    assert "27 Nov 2026" in visit().get(f"/check?number={opened.number}&code={opened.check_code}").text
    assert "void since 27 Nov 2026" in visit("installer").get(f"/jobs/{opened.job_id}/issued").text
    assert (covers[0].issued, translated[0].since) == ("27 Nov 2026", "2026-11-27")
    assert "void since 27 Nov 2026" in covers[0].state


def test_the_installer_s_list_tells_when_a_job_was_saved_by_the_firm_s_clocks(
    visit: Any, store: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2026, 11, 26, 20, 50, tzinfo=UTC))
    store.organisations.save_settings(1, {"time_zone": "Pacific/Guam"})
    installer = visit("installer")
    installer.begin()
    saved = BeautifulSoup(installer.get("/jobs").text, "html.parser").select_one(".job-link time")
    assert (saved["datetime"], saved.text) == ("2026-11-26T20:50:00Z", "Saved 27 Nov 2026, 6:50\u00a0am ChST")
