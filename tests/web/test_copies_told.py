"""What goes out of a record says first what is open and what stands; the same act twice is one act."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.archive.desk_shapes import Change, Item
from heaterapp.web.desk_changes import lines_of

from .test_handed_out import give

VOID = {"reason": "issued for the wrong heater", "sure": "yes"}


@pytest.fixture(autouse=True)
def quick_cover(app: Any) -> None:
    app.config["RENDER_COVER"] = lambda cover: b"%PDF cover " + repr(cover).encode()


@pytest.fixture
def failed(issue: Any, store: Any, people: Any) -> Any:
    """A certificate whose inspection failed, one of two items open."""
    opened, june = issue(), people["a", "office"]
    org = opened.organisation
    made = store.inspections.book(org, june.id, opened.job_id, "2026-11-24", {})
    items = [Item("", "Upper strap loose", "", "2026-11-25"), Item("", "House number not seen", "", "")]
    store.inspections.tell(org, june.id, made.id, made.revision, "failed", "2026-11-24", {}, items)
    return opened


def heads(clerk: Any, location: str) -> str:
    page = BeautifulSoup(clerk.get(location).text, "html.parser")
    return " ".join(page.find(class_="given-outcome").text.split())


def test_no_headline_says_nothing_open_while_an_inspection_is_failed(
    visit: Any, failed: Any, store: Any, people: Any
) -> None:
    clerk, number = visit("office"), failed.number
    told = "The last inspection failed on 24 Nov 2026; 1 of the inspector's items is open."
    for what in ("insurer", "warranty", "address"):
        head = heads(clerk, give(clerk, number, what=what).location)
        assert told in head, what
        assert "nothing open" not in head, what
    token, _ = store.shares.make(failed.organisation, failed.id)
    for language, says in (("en", "The inspection of November 24, 2026 was not passed"), ("es", "La inspección del 24 de noviembre de 2026 no se aprobó")):
        assert says in visit(None).get(f"/s/{token}?lang={language}").text
    cover = clerk.get(f"{give(clerk, number).location}/cover.pdf").text
    assert "nothing open" not in cover
    assert "The last inspection failed on 24 Nov 2026; 1 of the inspector's items is open." in cover
    org, (seen,) = failed.organisation, store.inspections.of_job(failed.organisation, failed.job_id)
    mended = [Item("", one.text, "", "2026-11-25") for one in seen.items]
    store.inspections.mend(org, people["a", "office"].id, seen.id, seen.revision, mended)
    head = heads(clerk, give(clerk, number, what="insurer").location)
    assert "failed on 24 Nov 2026; its items are said to be mended." in head
    assert "nothing open" not in head


def test_a_replaced_paper_goes_out_only_when_that_is_told_and_behind_what_stands(
    visit: Any, issue: Any
) -> None:
    old, clerk = issue(), visit("office")
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001", precharge_psi=25)
    assert new.kind == "correction_list"
    for what in ("paper", "insurer", "warranty"):
        refused = give(clerk, old.number, what=what)
        assert refused.status_code == 422, what
        assert "told_replaced-error" in refused.text
    given = give(clerk, old.number, what="insurer", told_replaced="yes")
    head = heads(clerk, given.location)
    assert head == f"Certificate {old.number} was replaced by {new.number}."
    page = clerk.get(given.location).text
    assert f"What stands now is {new.number}. Correction list {new.number}, not a certificate: 1 to fix." in page
    assert "Its serial number is LW26K0000001, not LW26K0041877." in page
    packed = clerk.get(f"{give(clerk, old.number, told_replaced='yes').location}/papers.zip").data
    cover = zipfile.ZipFile(io.BytesIO(packed)).read("0-cover.pdf").decode()
    assert f"What stands now is {new.number}." in cover
    assert give(clerk, old.number, what="address").status_code == 303, "that page names what stands by itself"


def test_the_same_persons_same_void_again_is_done_and_anothers_is_not(
    visit: Any, issue: Any, store: Any
) -> None:
    opened, clerk = issue(), visit("office")
    way = f"/office/records/{opened.number}/void"
    assert [clerk.post(way, VOID).status_code for _ in range(2)] == [303, 303]
    assert len(store.log.newest(opened.organisation, act="void")) == 1
    assert clerk.post(way, {**VOID, "reason": "another"}).status_code == 409
    assert visit("owner").post(way, VOID).status_code == 409


def test_the_check_page_says_of_what_was_erased_that_it_is_gone(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    opened = issue()
    store.erase_job(opened.organisation, opened.job_id, people["a", "owner"].id, "asked for")
    asked = {"number": opened.number, "code": opened.check_code}
    page = BeautifulSoup(visit().get("/check", query_string=asked).text, "html.parser")
    assert page.find(id="found").text == f"{opened.number}: Erased"
    assert "neither replaced nor void when its content was erased" in page.find(class_="facts").text


def test_lists_say_what_day_they_show_and_nothing_twice(visit: Any, issue: Any) -> None:
    opened, clerk = issue(no_leaks_seen="yes"), visit("office")
    listed = BeautifulSoup(clerk.get("/office").text, "html.parser").find(class_="record-when").text
    assert listed.startswith("Issued ")
    assert "work 3 Sep 2026" in listed
    page = clerk.get(give(clerk, opened.number, what="insurer").location).text
    assert "<dt>Water leaks seen</dt><dd>None</dd>" in page
    names = {"installer": (None, 4), "installer_name": ("", "Riley"), "planned_on": ("", "2026-11-26")}
    change = Change(2, "2026-11-26T10:00:00Z", 1, names)
    assert lines_of(change, {4: "Riley"}) == [("Installer", "Riley", ""), ("Planned for", "26 Nov 2026", "")]


def test_an_address_without_city_or_zip_lacks_something(visit: Any, issue: Any) -> None:
    record = issue(address_city=None, address_zip=None)
    told = visit("office").get(f"/office/desk/{record.job_id}/permit-facts?as=text").text
    assert "City: (missing)\nZIP: (missing)\n" in told
    assert "More than one heater: No (as usual, not asked)\n" in told
