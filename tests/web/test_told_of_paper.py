"""What is handed out says what kind of paper it is, how it came out, and whose work it was."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from tests.web.conftest import hidden
from tests.web.test_handed_out import give

FAILS = {"strap_heights_in": [68], "expansion_tank_support": "pipe_only", "place": "model_upc_2024"}
OTHERS = {"job_kind": "existing", "install_year": 2011, "precharge_psi": 40, "work_date": "2026-10-15"}
VIEWS = ("insurer", "warranty", "address")


@pytest.fixture(autouse=True)
def quick_cover(app: Any) -> None:
    app.config["RENDER_COVER"] = lambda cover: b"%PDF cover " + repr(cover).encode()


def words(clerk: Any, number: str, what: str) -> str:
    page = clerk.get(give(clerk, number, what=what).location).text
    return " ".join(BeautifulSoup(page, "html.parser").find("main").get_text(" ").split())


@pytest.mark.parametrize("what", VIEWS)
def test_a_correction_list_says_first_what_fails(visit: Any, issue: Any, what: str) -> None:
    told = words(visit("office"), issue(**FAILS).number, what)
    head = "Correction list L-000001, not a certificate: 3 to fix."
    assert head in told
    assert told.index(head) < told.index("Serial number")
    for name, section in (
        ("To fix: Thermal expansion: tank supported.", "608.2, Uniform Plumbing Code 2024"),
        ("strap count.", "507.2, Uniform Plumbing Code 2024"),
    ):
        assert name in told
        assert section in told


def test_a_buyer_is_told_every_paper_of_the_address_and_which_stands(visit: Any, issue: Any, store: Any, people: Any) -> None:
    first = issue()
    then = issue(job_id=first.job_id, **FAILS)
    gone = issue(heater_serial="X-1")
    store.void(gone.organisation, gone.id, people["a", "office"].id, "wrong house")
    issue(address_street="7 Ferry Lane")
    told = words(visit("office"), then.number, "address")
    assert f"{then.number}, not a certificate: 3 to fix. This paper is what stands" in told
    assert f"{first.number} was replaced by {then.number}." in told
    assert f"{gone.number} is void since" in told
    assert "Ferry Lane" not in told
    assert told.count("Check code") == 3


def test_a_buyer_s_page_of_a_void_paper_alone_says_that_nothing_stands(visit: Any, issue: Any, store: Any, people: Any) -> None:
    gone = issue()
    store.void(gone.organisation, gone.id, people["a", "office"].id, "wrong house")
    clerk = visit("office")
    page = clerk.get(give(clerk, gone.number, what="address", told_void="yes").location).text
    assert "No paper of this address stands now." in page
    assert "nothing to fix" not in page


@pytest.mark.parametrize("what", VIEWS)
def test_others_work_is_never_called_this_firm_s(visit: Any, issue: Any, what: str) -> None:
    told = words(visit("office"), issue(**OTHERS).number, what)
    assert "Looked over on 15 Oct 2026 by Riley Okafor of Harborlight Plumbing; installed in 2011 by others." in told
    assert "Findings report F-000001, not an installer's certificate: 1 open, 2 not answered." in told
    assert "Open: Thermal expansion: precharge matches house." in told
    assert "Not answered: Gas: pipe capacity." in told
    for untrue in ("Date of the work", "Installer ", "Contractor", "the installer measured"):
        assert untrue not in told, untrue


def test_the_cover_names_what_is_to_fix_and_whose_work_it_was(visit: Any, issue: Any) -> None:
    clerk = visit("office")
    for different, says in (
        (FAILS, "3 to fix. Thermal expansion: tank supported;"),
        (OTHERS, "Looked over on 15 Oct 2026 by Riley Okafor of Harborlight Plumbing; installed in 2011 by others."),
    ):
        way = give(clerk, issue(**different).number).location
        assert says in clerk.get(f"{way}/cover.pdf").text


def test_a_certificate_says_that_nothing_is_left_and_no_free_words(visit: Any, issue: Any) -> None:
    clerk = visit("office")
    assert "Certificate C-000001: nothing to fix, nothing open." in words(clerk, issue().number, "insurer")
    opened = issue(house_pressure_psi={"could_not_measure": "Mrs Whitlock locked the cellar"})
    told = words(clerk, opened.number, "address")
    assert "Whitlock" not in told
    assert "Could not be measured." in told


def test_what_the_authority_accepted_is_counted_as_accepted_and_never_as_open(visit: Any, issue: Any) -> None:
    word = {"by": "Inspector Vance", "on": "2026-11-25", "why": "bracket on order"}
    taken = {"acceptances": {"expansion.tank_supported": word}}
    clerk = visit("office")
    listed = words(clerk, issue(**FAILS, **taken).number, "address")
    assert "not a certificate: 2 to fix, 1 accepted by the authority." in listed
    assert "Accepted on 25 Nov 2026: Thermal expansion: tank supported." in listed
    alone = {"expansion_tank_support": "pipe_only", "place": "model_upc_2024"}
    certified = words(clerk, issue(**alone, **taken).number, "address")
    assert "nothing to fix, nothing open, 1 accepted by the authority." in certified
    assert "1 open" not in certified


def test_a_form_sent_twice_gives_one_copy(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    key = hidden(clerk.get(f"/office/records/{opened.number}/copy").text, "key")
    first = give(clerk, opened.number, key=key)
    assert give(clerk, opened.number, key=key).location == first.location
    other = give(clerk, opened.number, key=key, asked_by="Harbor Mutual")
    assert other.location != first.location
    assert give(clerk, opened.number, key=key, asked_by="Harbor Mutual").location == other.location
    assert len(store.log.newest(opened.organisation, act="copy")) == 2
    assert hidden(clerk.get(f"/office/records/{opened.number}/copy").text, "key") != key
    assert hidden(give(clerk, opened.number, key=key, purpose="").text, "key") == key
    assert store.verify().ok


def test_a_replaced_paper_is_said_to_be_so_before_it_is_given_and_goes_behind_its_cover(visit: Any, issue: Any) -> None:
    first = issue()
    second, clerk = issue(job_id=first.job_id), visit("office")
    form = clerk.get(f"/office/records/{first.number}/copy").text
    assert f"{first.number} was replaced by {second.number}." in form
    assert f'/office/records/{second.number}/copy?what=paper"' in form
    assert "was replaced" not in clerk.get(f"/office/records/{second.number}/copy").text
    page = clerk.get(give(clerk, first.number, told_replaced="yes").location).text
    assert "They do not say that they were replaced" in page
    assert page.index("papers.zip") < page.index("certificate.pdf")
    assert "if one is wanted" not in page
    assert "if one is wanted" in clerk.get(give(clerk, second.number).location).text


def test_an_empty_line_is_asked_for_by_what_it_is(visit: Any, issue: Any) -> None:
    clerk, number = visit("office"), issue().number
    page = give(clerk, number, purpose=" ", asked_by="").text
    assert "What for: say what for" in page
    assert "Who asks: say who asks" in page
    assert "What for: one line of at most 200" in give(clerk, number, purpose="x" * 201).text
