"""Until when a homeowner's link opens: chosen where it is made, told where it is listed, refused by name."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.web import link_ends

NOW = datetime(2028, 2, 29, 20, 0, tzinfo=UTC)
"""A leap day, noon in California."""


@pytest.fixture
def desk(visit: Any, issue: Any, store: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The office at a record of a firm in California; `clock` moves the archive's time."""
    store.organisations.save_settings(1, {"time_zone": "America/Los_Angeles"})
    made = issue()
    clock = {"now": NOW}
    monkeypatch.setattr(store.database, "clock", lambda: clock["now"])
    clerk = visit("office")

    def make(**fields: str) -> Any:
        done = clerk.post(f"/office/records/{made.number}/share", {"act": "make", **fields})
        return clerk.get(done.location) if done.status_code == 303 else done

    # Each look signs in anew: years pass in these tests.
    return make, lambda: visit("office").get(f"/office/records/{made.number}").text, clock, made


def token_of(answer: Any) -> str:
    found = re.search(r'href="http://localhost(/s/[\w-]{32})"', answer.text)
    assert found, answer.text[:300]
    return found.group(1)


@pytest.mark.parametrize(
    ("fields", "last", "listed"),
    [
        ({}, None, "open, it does not end by itself"),
        # A year after a leap day is the last of February; ninety days are counted on the firm's own days.
        ({"ends": "year"}, datetime(2029, 3, 1, 7, 59, 59, tzinfo=UTC), "open until 28 Feb 2029"),
        ({"ends": "days"}, datetime(2028, 5, 30, 6, 59, 59, tzinfo=UTC), "open until 29 May 2028"),
        ({"ends": "day", "end_day": "2/29/2028"}, datetime(2028, 3, 1, 7, 59, 59, tzinfo=UTC), "open until 29 Feb 2028"),
        ({"ends": "day", "end_day": " 2030-01-31 "}, datetime(2030, 2, 1, 7, 59, 59, tzinfo=UTC), "open until 31 Jan 2030"),
    ],
)  # fmt: skip
def test_a_link_opens_to_the_last_second_of_its_day_and_not_after(
    desk: Any, visit: Any, fields: dict[str, str], last: datetime | None, listed: str
) -> None:
    make, page, clock, _ = desk
    where = token_of(make(**fields))
    made = "Link 1: made 29 Feb 2028, 12:00\u00a0pm PST by Office of main; "
    assert f"<span>{made}{listed}</span>" in page()
    if last is None:
        clock["now"] = datetime(2068, 1, 1, tzinfo=UTC)
        opened = visit().get(where)
        assert (opened.status_code, "link opens until" in opened.text) == (200, False)
        return
    clock["now"] = last
    told = BeautifulSoup(visit().get(where).text, "html.parser").find("main").text
    day = (last - timedelta(hours=12)).strftime("%B %-d, %Y")
    assert f"This link opens until {day}. After that, ask for a new one." in told
    clock["now"] = datetime.fromtimestamp(last.timestamp() + 1, UTC)
    closed, unknown = visit().get(where), visit().get("/s/" + "A" * 32)
    assert (closed.status_code, closed.text) == (404, unknown.text)
    words = listed.replace("open until", "ended")
    assert f"<span>{made}{words}</span>" in page()
    assert "Close<span" not in page()


def test_the_firm_s_days_are_offered_first_to_the_office_and_to_the_installer(
    desk: Any, visit: Any, store: Any
) -> None:
    make, page, clock, made = desk
    store.organisations.save_settings(1, {link_ends.firm_days.LINK_DAYS: 30})
    office = BeautifulSoup(page(), "html.parser").find(id="ends")
    assert office.find("option", selected=True).text == "After 30 days"
    token_of(make())
    installer, there = visit("installer"), f"/jobs/{made.job_id}/link"
    assert BeautifulSoup(installer.get(f"/jobs/{made.job_id}/issued").text, "html.parser").find(id="link_days")["value"] == "30"
    for typed, says in (("30", "It opens until 30 Mar 2028."), (" 7 ", "It opens until 7 Mar 2028."), ("", "It does not end by itself")):
        answer = installer.get(installer.post(there, {"link_days": typed}).location)
        where = token_of(answer)
        assert says in answer.text
    ends = [share.expires_at for share in store.shares.all_for(made.organisation, made.id)]
    assert ends == [None, "2028-03-08T08:00:00Z", "2028-03-31T07:00:00Z", "2028-03-31T07:00:00Z"]
    for typed in ("0", "3651", "soon", "1.5", "9" * 400):
        answer = installer.post(there, {"link_days": typed})
        assert answer.status_code == 422
        box = BeautifulSoup(answer.text, "html.parser").find(id="link_days")
        assert (box["value"], box["aria-invalid"]) == (typed, "true")
        assert "Days that the link opens: a whole number from 1 to 3,650 was expected, or nothing." in answer.text
    assert len(store.shares.all_for(made.organisation, made.id)) == 4
    clock["now"] = datetime(2068, 1, 1, tzinfo=UTC)
    assert visit().get(where).status_code == 200, "the last one made does not end"


WRONG = (
    ({"ends": "day", "end_day": "soon <b>"}, "end_day", "Last day: expected a date such as 2029-02-28"),
    ({"ends": "day", "end_day": ""}, "end_day", "Last day: expected a date such as"),
    ({"ends": "day", "end_day": "2027-02-29"}, "end_day", "Last day: expected a date such as"),
    ({"ends": "day", "end_day": "9" * 500}, "end_day", "Last day: expected a date such as"),
    ({"ends": "day", "end_day": "2028-02-28"}, "end_day", "Last day: expected today or a later day"),
    ({"ends": "century"}, "ends", "Link ends: expected one of the list"),
    ({"ends": "never", "end_day": "2029-01-01"}, "ends", "Link ends: a date is typed"),
)


def test_a_wrong_end_is_refused_by_name_keeps_what_was_typed_and_makes_nothing(desk: Any, store: Any) -> None:
    make, _, _, made = desk
    for fields, field, says in (WRONG[0], WRONG[-1]):
        answer = make(**fields)
        assert answer.status_code == 422
        page = BeautifulSoup(answer.text, "html.parser")
        assert says in page.find(id=f"{field}-error").text
        assert says in page.find(class_="error-summary").find("a", href=f"#{field}").text
        assert page.find(id="end_day")["value"] == fields["end_day"]
        assert page.find("option", selected=True, value=fields["ends"])
        assert "/s/" not in answer.text
    assert store.shares.all_for(made.organisation, made.id) == []


@pytest.mark.usefixtures("desk")
def test_every_wrong_end_is_named(app: Any, store: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(link_ends, "current_organisation", store.organisations.default)
    with app.test_request_context():
        for fields, field, says in WRONG:
            end = link_ends.chosen(fields)
            assert end.at is None
            assert end.errors[field].startswith(says)
        assert link_ends.chosen({"ends": "never", "end_day": " "}) == (None, {})


def test_a_closed_link_says_so_and_the_log_has_its_end(desk: Any, store: Any, visit: Any) -> None:
    make, page, _, made = desk
    token_of(make(ends="days"))
    (share,) = store.shares.all_for(made.organisation, made.id)
    assert share.expires_at == "2028-05-30T07:00:00Z"
    clerk = visit("office")
    clerk.post(f"/office/records/{made.number}/share", {"act": "revoke", "share": str(share.id)})
    assert "by Office of main; closed 29 Feb 2028, 12:00\u00a0pm PST</span>" in page()
    assert store.verify().ok


def test_an_installer_makes_no_link_to_a_void_paper(visit: Any, issue: Any, store: Any, people: Any) -> None:
    made = issue()
    store.void(made.organisation, made.id, people["a", "office"].id, "wrong house")
    assert visit("installer").post(f"/jobs/{made.job_id}/link").status_code == 409
    assert store.shares.all_for(made.organisation, made.id) == []


def test_links_are_told_apart_and_closed_only_once_that_was_opened(
    desk: Any, store: Any, people: Any, issue: Any
) -> None:
    make, page, _, made = desk
    make()
    store.shares.make(made.organisation, made.id, people["a", "installer"].id)
    store.organisations.save_settings(1, {"mail": {"host": "localhost", "sender": "a@b.example"}})
    asker = people["a", "office"].id
    asked = store.mails.ask(made.organisation, made.id, asker, "dana@example.com", "en", "a-key-of-mail")
    store.mail_queue.link(store.mail_queue.take(asked), "a token of many letters")
    rows = BeautifulSoup(page(), "html.parser").select("li.share")
    told = [row.span.text for row in rows]
    at = "made 29 Feb 2028, 12:00\u00a0pm PST by"
    assert told == [
        f"Link 3: {at} Office of main, for the mail to dana@example.com; open, it does not end by itself",
        f"Link 2: {at} {people['a', 'installer'].name} (installer); open, it does not end by itself",
        f"Link 1: {at} Office of main; open, it does not end by itself",
    ]
    for row in rows:
        assert row.find("button").find_parent("details"), "one press alone closes nothing"
    assert "was replaced" not in page()
    newer = issue(job_id=made.job_id, heater_serial="LW26K0000001")
    asked = BeautifulSoup(page(), "html.parser").find("section", {"aria-labelledby": "share"})
    assert f"{made.number} was replaced: a link made here opens its page, which says so." in asked.text
    assert asked.find("a", string=newer.number)
    shown = BeautifulSoup(make().text, "html.parser").find(class_="link-made").text
    assert f"{made.number} was replaced: the page behind this link says so." in shown
