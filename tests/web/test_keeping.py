"""Holds, erasure, copies and the pages made for who asks: logged, bounded, and never a broken page."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.web import asked_for

from .conftest import PAPER

SUBPAGES = ("", "/void", "/correct", "/copy", "/keep", "/file/certificate.pdf")


@pytest.fixture(autouse=True)
def quick_cover(app: Any) -> None:
    app.config["RENDER_COVER"] = lambda cover: b"%PDF cover " + repr(cover).encode()


def page_of(answer: Any) -> BeautifulSoup:
    return BeautifulSoup(answer.text, "html.parser")


def erase(visitor: Any, number: str, **different: str) -> Any:
    sent = {"act": "request", "reason": "asked for by the owner", "sure": "yes", **different}
    return visitor.post(f"/office/records/{number}/erase", sent)


def hold(visitor: Any, number: str, **different: str) -> Any:
    return visitor.post(f"/office/records/{number}/hold", {"act": "place", "reason": "claim 77", **different})


def give(visitor: Any, number: str, **different: str) -> Any:
    sent = {
        "what": "paper",
        "asked_by": "Bay Insurance",
        "purpose": "claim 77-1",
        "consent": "yes",
        **different,
    }
    return visitor.post(f"/office/records/{number}/copy", sent)


def test_an_erased_record_says_who_when_and_why_and_breaks_no_page(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    opened = issue()
    token, _ = store.shares.make(opened.organisation, opened.id)
    done = erase(visit("owner"), opened.number)
    assert (done.status_code, done.location) == (303, f"/office/records/{opened.number}")
    page = visit("office").get(done.location)
    assert page.status_code == 410
    notice = page_of(page).find(class_="notice").text
    assert people["a", "owner"].name in notice
    assert "asked for by the owner" in notice
    for role in ("office", "owner"):
        for sub in SUBPAGES[1:]:
            answer = visit(role).get(f"/office/records/{opened.number}{sub}")
            assert answer.status_code < 500, sub
            assert "Whitlock" not in answer.text
    assert visit("office").get("/office?q=whitlock").text.count("record-where") == 0
    assert visit("office").get("/office").status_code == 200
    assert visit("office").get(f"/office/log?number={opened.number}").status_code == 200
    assert visit().get(f"/s/{token}").status_code == 404
    assert visit().get(f"/s/{token}/certificate.pdf").status_code == 404
    checked = visit().get(f"/check?number={opened.number}&code={opened.check_code}")
    assert checked.status_code == 200
    assert "Erased here since" in checked.text
    assert visit("installer").get(f"/jobs/{opened.job_id}").status_code == 404
    assert visit("installer").get(f"/jobs/{opened.job_id}/issued").status_code == 404
    assert visit("installer").get("/jobs").status_code == 200
    for path in ("/office/exports", "/office/desk", "/office/month", "/office/sweep", "/office/recheck"):
        assert visit("owner").get(path).status_code < 500, path
    assert visit("office").get(f"/office/records/{opened.number}/file/certificate.pdf").status_code == 404
    assert erase(visit("owner"), opened.number).status_code == 404
    assert store.verify().ok


def test_only_the_owner_erases_and_only_with_reason_and_tick(visit: Any, issue: Any, store: Any) -> None:
    opened = issue()
    assert erase(visit("office"), opened.number).status_code == 403
    assert "Erase all" not in visit("office").get(f"/office/records/{opened.number}/keep").text
    owner = visit("owner")
    assert "Erase all" in owner.get(f"/office/records/{opened.number}/keep").text
    for wrong in ({"reason": ""}, {"sure": ""}, {"reason": "x" * 301}):
        answer = erase(owner, opened.number, **wrong)
        assert answer.status_code == 422
        assert page_of(answer).find(class_="error")
    assert erase(owner, opened.number, act="both").status_code == 400
    early = erase(owner, opened.number, act="rule")
    assert early.status_code == 409
    assert "By the rule it is kept until 20" in early.text
    assert erase(visit("owner", firm="b"), opened.number).status_code == 404
    assert store.records.get(opened.organisation, opened.id).number == opened.number


def test_a_job_that_never_got_a_paper_is_held_and_erased_from_the_desk(visit: Any, store: Any) -> None:
    owner, clerk = visit("owner"), visit("office")
    org = owner.person.organisation
    job = store.jobs.create(org, None, {"owner_name": "Mina Pak", "address_street": "3 Quay"})
    at = f"/office/desk/{job.id}"
    assert f'href="{at}/keep"' in clerk.get(at).text
    page = clerk.get(f"{at}/keep").text
    assert "No paper yet" in page
    assert "Erase all" not in page
    assert clerk.post(f"{at}/hold", {"act": "place", "reason": "claim 77"}).location == f"{at}/keep"
    assert clerk.post(f"{at}/erase", {}).status_code == 403
    sent = {"act": "request", "reason": "never came about", "sure": "yes"}
    refused = owner.post(f"{at}/erase", sent)
    assert refused.status_code == 409
    assert "The reason that you typed: never came about" in refused.text
    held = store.holds.of_job(org, job.id)[0].id
    clerk.post(f"{at}/hold", {"act": "lift", "hold": str(held), "reason": "settled"})
    refused = owner.post(f"{at}/erase", {"act": "rule", "sure": "yes"})
    assert refused.status_code == 409
    assert "on request only" in refused.text
    assert (done := owner.post(f"{at}/erase", sent)).status_code == 303
    assert owner.get(done.location).status_code == 200
    assert store.jobs.get(org, job.id).answers == {}
    assert store.log.newest(org, limit=1)[0].act == "erase_job"
    assert owner.get(f"{at}/keep").status_code == 404
    assert owner.get("/office/log").status_code == 200


def test_a_hold_is_placed_shown_and_lifted(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    assert hold(clerk, opened.number, reason=" ").status_code == 422
    assert hold(clerk, opened.number).status_code == 303
    assert "on hold since" in clerk.get(f"/office/records/{opened.number}").text
    refused = erase(visit("owner"), opened.number)
    assert refused.status_code == 409
    assert "claim 77. Nothing is erased until it is lifted" in refused.text
    (standing,) = store.holds.of_job(opened.organisation, opened.job_id)
    wrong = hold(clerk, opened.number, act="lift", hold=str(standing.id), reason="")
    assert wrong.status_code == 422
    assert page_of(wrong).find(id=f"reason-lift-{standing.id}-error")
    assert hold(clerk, opened.number, act="lift", hold="999", reason="x").status_code == 404
    assert hold(visit("office", firm="b"), opened.number).status_code == 404
    assert hold(clerk, opened.number, act="lift", hold=str(standing.id), reason="settled").status_code == 303
    assert "settled" in clerk.get(f"/office/records/{opened.number}/keep").text
    assert erase(visit("owner"), opened.number).status_code == 303


def test_a_copy_is_noted_once_and_is_the_very_file(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    done = give(clerk, opened.number)
    assert done.status_code == 303
    page = clerk.get(done.location)
    assert "Bay Insurance" in page.text
    link = page_of(page).find("a", string=f"{opened.number}-certificate.pdf")["href"]
    assert clerk.get(link).data == PAPER + opened.number.encode()
    cover = clerk.get(done.location + "/cover.pdf")
    assert cover.content_type == "application/pdf"
    for words in (b"Bay Insurance", b"claim 77-1", b"The owner has agreed", opened.number.encode()):
        assert words in cover.data
    entries = store.log.newest(opened.organisation, act="copy")
    assert [one.record for one in entries] == [opened.id]
    log = page_of(clerk.get("/office/log?act=copy")).find(class_="acts").text
    assert f"gave a copy of {opened.number} to Bay Insurance: claim 77-1." in log
    other = visit("office", firm="b")
    assert other.get(done.location).status_code == 404
    assert clerk.get(f"/office/records/{opened.number}/copy/1").status_code == 404
    second = issue(address_street="7 Ferry Lane")
    assert clerk.get(done.location.replace(opened.number, second.number)).status_code == 404


def test_a_copy_for_nobody_is_not_given_and_what_was_typed_stays(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    for wrong in (
        {"asked_by": ""}, {"purpose": " "}, {"asked_by": "x" * 201}, {"purpose": "a\nb"}, {"what": "all"},
    ):  # fmt: skip
        answer = give(clerk, opened.number, **wrong)
        assert answer.status_code == 422, wrong
        page = page_of(answer)
        assert page.find(id=next(iter(wrong)) + "-error")
        if "asked_by" not in wrong:
            assert page.find(id="asked_by")["value"] == "Bay Insurance"
        assert page.find(id="consent").has_attr("checked")
    assert store.log.newest(opened.organisation, act="copy") == []


def test_the_pages_for_insurer_warranty_and_buyer(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    issue(address_street="12 S. Oak Avenue")
    second = issue(job_id=opened.job_id, heater_serial="LW26K0000009")
    told = give(clerk, opened.number, what="insurer", told_replaced="yes")
    insurer = page_of(clerk.get(told.location)).find("main").text
    for words in (
        "LW26K0041877",
        "3 Sep 2026",
        "Pan under the heater",
        "The owner has agreed",
        "was replaced by",
    ):
        assert words in insurer, words
    warranty = page_of(clerk.get(give(clerk, second.number, what="warranty").location)).find("main").text
    for words in ("LW26K0000009", "House pressure", "Expansion", "Set temperature", "Air charge"):
        assert words in warranty, words
    buyer = (
        page_of(clerk.get(give(clerk, second.number, what="address", consent="").location)).find("main").text
    )
    assert [buyer.count(one.number) > 0 for one in (opened, second)] == [True, True]
    assert "C-000002" not in buyer
    assert "Whitlock" not in buyer
    assert "Strap heights" in buyer
    assert "Not noted." in buyer
    store.void(second.organisation, second.id, 1, "wrong heater")
    assert (
        f"{second.number} is void since"
        in clerk.get(give(clerk, second.number, what="insurer", told_void="yes").location).text
    )


def test_who_may_not_sees_nothing(visit: Any, issue: Any) -> None:
    opened = issue()
    for path in ("copy", "keep"):
        assert visit("installer").get(f"/office/records/{opened.number}/{path}").status_code == 403
        assert visit("office", firm="b").get(f"/office/records/{opened.number}/{path}").status_code == 404
    assert visit("installer").post(f"/office/records/{opened.number}/erase", {}).status_code == 403


def test_why_something_was_not_measured_is_handed_out_to_nobody(visit: Any, issue: Any) -> None:
    why = {"could_not_measure": "Mrs Whitlock was in hospital"}
    opened, clerk = issue(heater_serial=why, house_pressure_psi=why), visit("office")
    assert "in hospital" in clerk.get(f"/office/records/{opened.number}").text
    for what in ("insurer", "warranty", "address"):
        page = page_of(clerk.get(give(clerk, opened.number, what=what).location)).find("main").text
        assert "hospital" not in page, what
        assert "Could not measure" in page, what


def test_every_spelling_of_an_address_is_the_same_and_another_unit_is_not(visit: Any, issue: Any) -> None:
    spelt = ("77 North Oak Avenue", "77 N. Oak Ave", "77 n oak ave")
    same = [issue(address_street=one) for one in spelt]
    others = [issue(address_street=one) for one in ("77 N Oak Ave #2", "177 N Oak Ave", "77 S Oak Ave")]
    clerk = visit("office")
    for asked in (same[0], same[1]):
        page = page_of(clerk.get(give(clerk, asked.number, what="address").location)).find("main").text
        assert all(one.number in page for one in same)
        assert not any(one.number in page for one in others)
        assert "Taken as the same address: " in page
        assert all(one in page.partition("Taken as")[2].partition("\n")[0] for one in spelt)


def test_the_words_of_every_view_are_there() -> None:
    assert set(asked_for.VIEWS) == {"paper", "redacted", "insurer", "address", "warranty"}
