"""The link that a homeowner has, after the paper behind it was replaced: what was found since is told on it."""

from __future__ import annotations

import json
from typing import Any

from bs4 import BeautifulSoup

CAPPED = {"relief_end": "capped", "relief_end_height_in": None}
STOP = {"en": "Stop. Do not use this heater.", "es": "Alto. No use este calentador."}
DANGER = {
    "en": "The newer paper names a danger: do not use",
    "es": "El documento más nuevo nombra un peligro: no use",
}


def link_of(store: Any, made: Any) -> str:
    token, _ = store.shares.make(made.organisation, made.id)
    return f"/s/{token}"


def main_of(visitor: Any, path: str, language: str = "en") -> Any:
    answer = visitor.get(path, query_string={"lang": language}, headers={"Accept-Language": language})
    return BeautifulSoup(answer.text, "html.parser").find("main")


def test_a_hazard_found_later_is_told_on_every_way_the_old_paper_has(
    visit: Any, issue: Any, store: Any, app: Any, people: Any
) -> None:
    pressed: list[Any] = []
    app.config["RENDER_TRANSLATED"] = lambda made: pressed.append(made) or b"%PDF"
    first = issue()
    where, check = link_of(store, first), f"/check?number={first.number}&code={first.check_code}"

    def told(language: str = "en") -> tuple[bool, bool, bool]:
        """Whether page, check page and copy say it."""
        notices = main_of(visit(), where, language).select(".notice")
        checked = visit().get(check, headers={"Accept-Language": language}).text
        visit().get(f"{where}/in/es.pdf")
        return (
            bool(notices) and notices[0].text.startswith(STOP[language]),
            DANGER[language] in checked,
            pressed[-1].hazard_stands,
        )

    assert told() == (False, False, False)
    listed = issue(job_id=first.job_id, **CAPPED)
    assert (first.kind, listed.kind) == ("certificate", "correction_list")
    for language in ("en", "es"):
        assert told(language) == (True, True, True), language
    own = f"/check?number={listed.number}&code={listed.check_code}"
    newest = visit().get(own).text
    assert DANGER["en"] not in newest, "no newer paper stands"
    assert "This is a correction list, not a certificate." in newest
    assert "not a certificate." not in visit().get(check, headers={"Accept-Language": "en"}).text
    was = json.loads(first.job)
    # The job of a correction list is open still.
    store.jobs.save_answers(first.organisation, first.job_id, {name: was[name] for name in CAPPED})
    mended = issue(job_id=first.job_id)
    assert mended.kind == "certificate"
    assert told() == (False, False, False)
    store.void(mended.organisation, mended.id, people["a", "office"].id, "wrong house")
    issue(job_id=first.job_id, **CAPPED)
    assert told("es") == (True, True, True)
    void = main_of(visit(), link_of(store, mended)).select_one(".notice-void")
    assert void.text.startswith(STOP["en"]), "of a void paper too"


def test_the_firm_is_called_where_it_is_now_and_named_as_it_was_for_what_it_did(
    visit: Any, issue: Any, store: Any
) -> None:
    first = issue()
    where = link_of(store, first)
    old = "555-0100", "12 Quay Rd, Port Larkin"
    calls = main_of(visit(), where).select_one(".part-calls")
    assert all(one in calls.text for one in old)
    store.organisations.save(first.organisation, phone="555-0177", address="3 Mill Rd, Port Larkin")
    for language in ("en", "es"):
        main = main_of(visit(), where, language)
        calls = main.select_one(".part-calls")
        assert not any(one in main.text for one in old)
        assert "3 Mill Rd, Port Larkin" in calls.text
        assert "formerly" not in calls.text
        assert calls.select_one('a[href="tel:5550177"]').text == "555-0177"
    assert "555-0177" in visit().get(f"{where}/care.ics").text
    store.organisations.save(first.organisation, name="Mill Road Plumbing", licence="C36 000009")
    main = main_of(visit(), where)
    assert "Mill Road Plumbing, formerly Harborlight Plumbing" in main.select_one(".part-calls").text
    assert "C36 000009" in main.select_one(".part-calls").text
    assert "Harborlight Plumbing installed a gas water heater" in main.select_one(".part-what").text
    assert (
        "Mill Road Plumbing, antes Harborlight"
        in main_of(visit(), where, "es").select_one(".part-calls").text
    )
    assert "by Harborlight Plumbing. License C36 000000." in main.select_one(".part-warranty").text
    issue(job_id=first.job_id)
    assert "Ask Mill Road Plumbing (555-0177) for it." in main_of(visit(), where).select_one(".notice").text


def test_an_older_paper_s_link_leads_on_only_where_the_office_says_so(visit: Any, issue: Any, store: Any, people: Any) -> None:
    first = issue()
    where, other = link_of(store, first), link_of(store, first)
    closed = store.shares.all_for(first.organisation, first.id)[0].id
    store.shares.revoke(first.organisation, closed)
    newer = issue(job_id=first.job_id, owner_name="Nora Whitlock")
    clerk, at = visit("office"), f"/office/records/{newer.number}"
    page = BeautifulSoup(clerk.get(at).text, "html.parser").select_one("#older-links")
    # Who the older paper named is told: the link may have gone to somebody else than the newer one is for.
    assert "Dana Whitlock, 12 N. Oak Ave" in page.text
    (button,) = page.select("form")
    link = button.select_one("[name=share]")["value"]
    assert "Nora Whitlock" not in visit().get(where).text
    assert 'id="older-links"' not in clerk.get(f"/office/records/{first.number}").text
    for wrong in (str(closed), "999", ""):
        assert clerk.post(f"{at}/share", {"act": "lead", "share": wrong}).status_code == 404
    said = clerk.post(f"{at}/share", {"act": "lead", "share": link})
    assert f"Link 1 of {first.number} shows {newer.number} now." in said.text
    assert 'id="older-links"' not in said.text
    assert newer.number in main_of(visit(), where).text
    assert main_of(visit(), where).select_one(".notice") is None
    assert visit().get(other).status_code == 404
    assert "show a newer paper" in clerk.get("/office/log").text
    assert f", shows {newer.number}" in clerk.get(f"/office/records/{first.number}").text
    # What comes after is asked again; a void paper is led to by nobody, and its link tells that it is void.
    third = issue(job_id=first.job_id)
    assert newer.number in main_of(visit(), where).text
    assert 'id="older-links"' in clerk.get(f"/office/records/{third.number}").text
    store.void(third.organisation, third.id, people["a", "office"].id, "wrong house")
    assert 'id="older-links"' not in clerk.get(f"/office/records/{third.number}").text
    store.shares.revoke(first.organisation, int(link))
    assert visit().get(where).status_code == 404


def test_a_link_that_was_led_on_is_counted_no_more_and_closed_where_it_leads(visit: Any, issue: Any, store: Any, app: Any) -> None:
    app.config["PUBLIC_URL"] = "https://papers.harbor.example"
    store.organisations.save_settings(1, {"mail": {"host": "localhost", "sender": "a@b.example"}})
    first = issue()
    link_of(store, first)
    where = link_of(store, first)
    newer = issue(job_id=first.job_id)
    clerk, riley = visit("office"), visit("installer")
    at, pages = f"/office/records/{newer.number}", ((clerk, f"/office/records/{newer.number}"), (riley, f"/jobs/{first.job_id}/issued"))
    assert ["made by hand: 2." in who.get(page).text for who, page in pages] == [True, True]
    second = str(store.shares.all_for(first.organisation, first.id)[0].id)
    clerk.post(f"{at}/share", {"act": "lead", "share": second})
    assert ["made by hand: 1." in who.get(page).text for who, page in pages] == [True, True]
    listed = BeautifulSoup(clerk.get(at).text, "html.parser").select_one(".links-so-far")
    assert "1 link so far, 1 open" in listed.text
    assert f"Link 2 of {first.number}: made" in listed.text
    assert f"Close link 2 of {first.number} for good" in listed.text
    said = clerk.post(f"{at}/share", {"act": "revoke", "share": second})
    assert f"Link 2 of {first.number} is closed." in said.text
    assert visit().get(where).status_code == 404
