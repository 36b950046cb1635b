"""The page that makes a paper void: what is replaced already is not, and the page leads to the present one."""

from __future__ import annotations

from typing import Any

from bs4 import BeautifulSoup

VOID = {"reason": "issued for the wrong heater", "sure": "yes"}


def test_a_replaced_record_is_not_voided_and_its_page_leads_to_the_present_one(
    visit: Any, issue: Any, store: Any
) -> None:
    first, clerk = issue(), visit("office")
    second = issue(job_id=first.job_id)
    path = f"/office/records/{first.number}/void"
    asked = clerk.get(path)
    sent = clerk.post(path, {**VOID, "reason": "a reason typed"})
    assert (asked.status_code, sent.status_code) == (200, 409)
    for answer in (asked, sent):
        page = BeautifulSoup(answer.text, "html.parser")
        said = page.find(class_="error-summary").text
        assert f"{first.number} was replaced by {second.number}" in said
        assert page.find("a", href=f"/office/records/{second.number}/void")
        assert page.find("input", attrs={"name": "reason"}) is None
    assert "a reason typed" in sent.text
    assert store.records.status(first.organisation, first.id).voided_at is None
    clerk.post(f"/office/records/{second.number}/void", VOID)
    sent = clerk.post(path, VOID)
    assert sent.status_code == 409
    assert "none to make void" in sent.text
    papers = (
        BeautifulSoup(clerk.get(f"/office/records/{second.number}").text, "html.parser")
        .find(id="files")
        .parent
    )
    assert f"{second.number} is void." in papers.text
    assert "its cover page says that it is void" in papers.text
    assert papers.find("a", href=f"/office/records/{second.number}/copy")
