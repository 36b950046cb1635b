"""What is handed out and shown of a record: inspections as the desk has them, void papers, joints, the firm's clocks."""

from __future__ import annotations

import html
import io
import re
import zipfile
from datetime import UTC, datetime
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.archive.desk_shapes import Inspection
from heaterapp.rules import CATALOGUE
from heaterapp.web.desk_block import inspected_words

from .conftest import hidden


@pytest.fixture(autouse=True)
def quick_cover(app: Any) -> None:
    app.config["RENDER_COVER"] = lambda cover: b"%PDF cover " + repr(cover).encode()


VISIT = ("booked", "2026-11-24", None)


def seen(*visits: tuple[str, str, str | None]) -> list[Inspection]:
    return [Inspection(1, "j", booked, result, on, 1, {}, ()) for result, booked, on in visits]


@pytest.mark.parametrize(
    ("final_on", "visits", "says"),
    [
        ("2026-11-26", seen(), "Passed on 26 Nov 2026"),
        (None, seen(), "No inspection is noted here"),
        (None, seen(("cancelled", "2026-11-24", "2026-11-24")), "No inspection is noted here"),
        (None, seen(VISIT), "Booked for 24 Nov 2026"),
        (None, seen(("failed", "2026-11-24", "2026-11-24")), "Not passed; the last inspection failed on 24 Nov 2026"),
        (None, seen(("booked", "2026-12-01", None), ("partly", "2026-11-24", "2026-11-24")),
         "Not passed; the last inspection was passed only in part on 24 Nov 2026, another is booked for 1 Dec 2026"),
        (None, seen(("passed", "2026-11-24", "2026-11-25"), ("failed", "2026-11-01", "2026-11-01")),
         "Not noted as final; an inspection passed on 25 Nov 2026"),
    ],
)  # fmt: skip
def test_an_inspection_is_told_as_the_desk_has_it(final_on: str | None, visits: Any, says: str) -> None:
    assert inspected_words(final_on, visits) == says


def give(clerk: Any, number: str, **different: str) -> Any:
    sent = {"what": "paper", "asked_by": "Bay Insurance", "purpose": "claim 77", **different}
    return clerk.post(f"/office/records/{number}/copy", sent)


def test_a_failed_inspection_stands_on_every_page_that_is_handed_out(visit: Any, issue: Any, store: Any, people: Any) -> None:
    opened, clerk, june = issue(), visit("office"), people["a", "office"]
    made = store.inspections.book(opened.organisation, june.id, opened.job_id, "2026-11-24", {})
    store.inspections.tell(opened.organisation, june.id, made.id, made.revision, "failed", "2026-11-24", {})
    for what in ("insurer", "warranty", "address"):
        page = clerk.get(give(clerk, opened.number, what=what).location).text
        assert "Not passed; the last inspection failed on 24 Nov 2026" in page, what


def test_what_was_accepted_as_usual_says_so_on_its_own_line(visit: Any, issue: Any) -> None:
    taken = {"insurer": "cold_shutoff", "warranty": "expansion_device", "address": "strap_kind"}
    opened, clerk = issue(accepted_as_usual=sorted(taken.values())), visit("office")
    for what, name in taken.items():
        page = BeautifulSoup(clerk.get(give(clerk, opened.number, what=what).location).text, "html.parser")
        lines = {line.dt.text: line.dd.text for line in page.select("dl.facts > div")}
        marked = [label for label, said in lines.items() if "(accepted as usual, not measured)" in said]
        assert marked == [CATALOGUE[name].label], what


def test_a_void_record_offers_only_what_may_be_done_with_it(visit: Any, issue: Any, store: Any, people: Any) -> None:
    opened, clerk = issue(), visit("office")
    way = f"/office/records/{opened.number}"
    assert "Make a link" in clerk.get(way).text
    store.void(opened.organisation, opened.id, people["a", "office"].id, "gauge was off the scale.")
    page = clerk.get(way).text
    for offered in ("Make a link", "/void", "/correct"):
        assert offered not in page
    assert "gauge was off the scale.</p>" in page
    refused = clerk.post(f"{way}/share", {"act": "make"})
    assert refused.status_code == 409
    assert store.shares.all_for(opened.organisation, opened.id) == []


def test_a_replaced_record_points_to_the_current_one(visit: Any, issue: Any) -> None:
    first, clerk = issue(), visit("office")
    second, third = issue(job_id=first.job_id), issue(job_id=first.job_id)
    page = BeautifulSoup(clerk.get(f"/office/records/{first.number}").text, "html.parser")
    assert "/void" not in str(page)
    assert f"Replaced by {second.number}. The current one is {third.number}" in page.find(class_="notice").text
    assert "Make void" in clerk.get(f"/office/records/{third.number}").text


def test_a_void_paper_goes_out_with_its_cover_once_that_is_told(visit: Any, issue: Any, store: Any, people: Any) -> None:
    opened, clerk = issue(), visit("office")
    store.void(opened.organisation, opened.id, people["a", "office"].id, "wrong heater")
    refused = give(clerk, opened.number)
    assert refused.status_code == 422
    assert "told_void-error" in refused.text
    assert "Bay Insurance" in refused.text
    assert store.log.newest(opened.organisation, act="copy") == []
    done = give(clerk, opened.number, told_void="yes")
    page = BeautifulSoup(clerk.get(done.location).text, "html.parser")
    assert page.find("a", string="certificate.pdf") is None
    sent = clerk.get(page.find("a", string="Download cover and papers")["href"])
    with zipfile.ZipFile(io.BytesIO(sent.data)) as packed:
        assert packed.namelist()[0] == "0-cover.pdf"
        assert "certificate.pdf" in packed.namelist()
        assert b"is void since" in packed.read("0-cover.pdf")
    assert '"told_void":"yes"' in store.log.newest(opened.organisation, act="copy")[0].body


def clock(at: datetime) -> str:
    return f"{at:%I:%M}\u00a0{at:%p}".lstrip("0").lower()


def test_times_are_the_firms_own_and_days_are_written_one_way(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    issued = datetime.fromisoformat(opened.issued_at)
    assert f"{issued.day} {issued:%b %Y}, {clock(issued)} UTC" in clerk.get(f"/office/records/{opened.number}").text
    store.organisations.save_settings(opened.organisation, {"time_zone": "Asia/Tokyo"})
    there = datetime.fromtimestamp(issued.timestamp() + 9 * 3600, UTC)
    told = f"{there.day} {there:%b %Y}, {clock(there)} JST"
    record = clerk.get(f"/office/records/{opened.number}").text
    assert told in record
    assert "3 Sep 2026" in record
    for page in ("/office/log", f"/office/records/{opened.number}", "/account"):
        assert "JST" in clerk.get(page).text, page
    assert "3 Sep 2026" in clerk.get("/office").text
    assert opened.issued_at in record, "the stamp underneath stays UTC"


def test_everything_done_to_the_job_stands_at_its_record(visit: Any, issue: Any, store: Any, people: Any) -> None:
    opened, clerk, june = issue(), visit("office"), people["a", "office"]
    org, other = opened.organisation, issue()
    store.desk.save(org, june.id, opened.job_id, facts={"parcel_no": "044-17"})
    made = store.inspections.book(org, june.id, opened.job_id, "2026-11-24", {})
    store.inspections.tell(org, june.id, made.id, made.revision, "failed", "2026-11-24", {})
    store.holds.place(org, opened.job_id, june.id, "claim 9")
    done = BeautifulSoup(clerk.get(f"/office/records/{opened.number}").text, "html.parser").find(class_="acts").text
    for words in ("changed a job at the desk (Parcel number)", "noted a failed inspection", "on hold: claim 9", "issued"):
        assert words in done, words
    assert done.index("on hold") < done.index("failed inspection") < done.index("Parcel number") < done.index("issued")
    beside = BeautifulSoup(clerk.get(f"/office/records/{other.number}").text, "html.parser").find(class_="acts").text
    assert "inspection" not in beside


def test_the_log_says_who_was_invited_as_what_and_which_settings_changed(visit: Any, store: Any, people: Any) -> None:
    owner = people["a", "owner"]
    token, made = store.invites.make(owner.organisation, owner.id, "Kim", "office")
    came = store.invites.take(token, "kim", "copper-kettle-48")
    store.organisations.save_settings(
        owner.organisation, {"retention_years": 12, "gas_emergency_phone": "555-0100"}, owner.id
    )
    store.organisations.save_settings(owner.organisation, {"paper": "a4"}, owner.id)
    text = BeautifulSoup(visit("office").get("/office/log").text, "html.parser").find(class_="acts").text
    assert f"invited office staff (invitation {made.id})" in text
    assert f"took up invitation {made.id} for office staff: from then on person {came.id}" in text
    assert "(Gas company's emergency phone; Years that papers are kept from 10 to 12)" in text
    assert "(Paper size from US Letter to A4)" in text
    assert "555-0100" not in text
    assert "Kim" not in store.log.newest(owner.organisation, act="invite")[1].body


def test_a_new_owner_is_noted_beside_the_job_found_and_written_to(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    record = clerk.get(f"/office/records/{opened.number}").text
    assert f'/office/desk/{opened.job_id}/facts#present_owner' in record
    form = clerk.get(f"/office/desk/{opened.job_id}/facts").text
    sent = {"seen": hidden(form, "seen"), "revision": hidden(form, "revision"), "job_revision": hidden(form, "job_revision")}
    new = {"present_owner": "Noor Haddad", "present_owner_phone": "555-0177", "present_owner_since": "2026-10-01"}
    assert clerk.post(f"/office/desk/{opened.job_id}/facts", {**sent, **new}).status_code == 303
    record = clerk.get(f"/office/records/{opened.number}").text
    assert "Noor Haddad, 555-0177, since 1 Oct 2026" in record
    assert store.records.get(opened.organisation, opened.id) == opened
    for typed in ("Haddad", "555-0177", "5550177"):
        found = clerk.get(f"/office?q={typed}").text
        assert "No paper has these words, but the desk does" in found, typed
        assert f"/office/desk/{opened.job_id}" in found, typed
    assert 'id="beside"' not in clerk.get("/office?q=Whitlock").text, "it is a hit already"
    swept = clerk.get("/office/sweep?model=LW").text
    assert "now Noor Haddad" in swept
    assert "as recorded: Dana Whitlock" in swept
    letter = clerk.post("/office/sweep/letters", {"model": "LW", "text": "Dear [owner],"}).text
    assert "Dear Noor Haddad," in letter
    assert "Haddad" in clerk.post("/office/sweep/list.csv", {"model": "LW"}).text
    assert 'id="beside"' not in visit("office", firm="b").get("/office?q=Haddad").text


def test_a_copy_says_what_was_so_when_it_was_given_and_apart_what_came_since(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    old, clerk = issue(), visit("office")
    first = give(clerk, old.number).location
    facts = give(clerk, old.number, what="insurer").location
    house = give(clerk, old.number, what="address").location
    at_once = clerk.get(first).text
    assert f"{old.number} is the current paper of this job." in at_once
    assert "Since then" not in at_once
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    second = give(clerk, old.number, told_replaced="yes").location
    store.void(old.organisation, new.id, people["a", "office"].id, "wrong house")
    for page in (first, facts, f"{first}/cover.pdf"):
        said = html.unescape(clerk.get(page).text)
        assert f"When this copy was given, {old.number} was the current paper of this job." in said, page
        assert re.search(rf"Since then, as of [^:]+: {old.number} was replaced by {new.number}\.", said), page
    replaced = clerk.get(second).text
    assert f"{old.number} was replaced by {new.number}." in replaced
    assert "Since then" not in replaced
    listed = html.unescape(clerk.get(house).text)
    assert f"When this copy was given, {old.number} was the current paper of this job." in listed
    assert "None of these papers stands now." in listed
    assert f"{old.number} was replaced by {new.number}. Certificate {new.number} was issued on" in listed
    voided = give(clerk, new.number, told_void="yes").location
    last = issue(job_id=old.job_id, heater_serial="LW26K0000002")
    for page in (voided, f"{voided}/cover.pdf"):
        said = html.unescape(clerk.get(page).text)
        assert re.search(rf"When this copy was given, {new.number} was void, since [^:.]+\.", said), page
        assert re.search(rf"Since then, as of [^:]+: {new.number} was replaced by {last.number}\.", said), page
