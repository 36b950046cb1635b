"""A paper in Spanish, asked for on line: who may, what the press is handed, what it is called, and how often."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp import certificate
from heaterapp.certificate import PressAway, PressBusy, RenderFailed
from heaterapp.mailing.translation import NotMade
from heaterapp.web import translated


@pytest.fixture
def made(app: Any) -> list[Any]:
    """What was pressed."""
    papers: list[Any] = []

    def press(wanted: Any) -> bytes:
        papers.append(wanted)
        return b"%PDF " + wanted.filed.number.encode()

    app.config["RENDER_TRANSLATED"] = press
    return papers


def test_office_installer_and_homeowner_get_it_where_the_paper_is_handed_out(
    visit: Any, issue: Any, store: Any, made: list[Any]
) -> None:
    opened = issue()
    token, _ = store.shares.make(opened.organisation, opened.id)
    ways = {
        "office": (f"/office/records/{opened.number}", f"/office/records/{opened.number}/in/es.pdf"),
        "installer": (f"/jobs/{opened.job_id}/issued", f"/jobs/{opened.job_id}/papers/{opened.number}/in/es.pdf"),
        None: (f"/s/{token}?lang=es", f"/s/{token}/in/es.pdf"),
    }
    for role, (page, way) in ways.items():
        browser = visit(role)
        assert f'href="{way}"' in browser.get(page).text, role
        answer = browser.get(way)
        assert (answer.status_code, answer.data) == (200, b"%PDF " + opened.number.encode())
        assert answer.headers["Content-Disposition"] == f'attachment; filename="{opened.number}-certificate-es.pdf"'
        assert answer.headers["Content-Language"] == "es"
        assert answer.headers["Cache-Control"] == "no-store"
        for other in ("en", "xx", "ES"):
            assert browser.get(way.replace("es.pdf", f"{other}.pdf")).status_code == 404
    assert [(one.language, one.standing, one.other, one.since) for one in made] == [("es", "current", "", "")] * 3
    assert {one.filed.content_digest for one in made} == {opened.content_digest}
    english = visit(None).get(f"/s/{token}").text
    assert english.index(f"/s/{token}/certificate.pdf") < english.index(f"/s/{token}/in/es.pdf")


def test_it_says_what_has_become_of_the_paper(visit: Any, issue: Any, store: Any, people: Any, made: list[Any]) -> None:
    old, clerk = issue(), visit("office")
    new = issue(job_id=old.job_id)
    clerk.get(f"/office/records/{old.number}/in/es.pdf")
    store.void(new.organisation, new.id, people["a", "office"].id, "wrong house")
    clerk.get(f"/office/records/{new.number}/in/es.pdf")
    assert (made[0].standing, made[0].other, made[0].since) == ("replaced", new.number, "")
    day = store.records.status(new.organisation, new.id).voided_at[:10]
    assert (made[1].standing, made[1].other, made[1].since) == ("void", "", day)
    newest = issue(job_id=old.job_id)
    clerk.get(f"/office/records/{old.number}/in/es.pdf")
    assert (made[2].standing, made[2].other, made[2].kind) == ("replaced", newest.number, newest.kind), "as the page says"
    leads = [one.text for one in BeautifulSoup(clerk.get(f"/office/records/{old.number}").text, "html.parser").select(".offers b")]
    assert leads == ["To hand out, marked as replaced", "The stored file, for proof"]


def test_the_link_of_a_paper_that_stands_no_more_gives_an_english_copy_that_says_so(
    visit: Any, issue: Any, store: Any, people: Any, made: list[Any]
) -> None:
    old = issue()
    token, _ = store.shares.make(old.organisation, old.id)
    issued = visit().get(f"/s/{token}/certificate.pdf")
    assert (issued.status_code, made) == (200, [])
    store.void(old.organisation, old.id, people["a", "office"].id, "wrong house")
    answer = visit().get(f"/s/{token}/certificate.pdf", follow_redirects=True)
    assert (answer.status_code, answer.headers["Content-Language"]) == (200, "en")
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{old.number}-certificate-en.pdf"'
    assert [(one.language, one.standing) for one in made] == [("en", "void")]
    assert visit("office").get(f"/office/records/{old.number}/file/certificate.pdf").data == issued.data
    office, installer = visit("office"), visit("installer")
    of_job = f"/jobs/{old.job_id}/papers/{old.number}"
    for browser, way in (
        (office, f"/office/records/{old.number}/in/en.pdf"), (installer, f"{of_job}/certificate.pdf"),
    ):  # fmt: skip
        marked = browser.get(way, query_string={"as": "page"}, follow_redirects=True)
        assert (marked.status_code, marked.headers["Content-Language"], made[-1].standing) == (200, "en", "void")
        assert marked.headers["Content-Disposition"].startswith("inline; ")
    assert len(made) == 3
    given, kept = BeautifulSoup(office.get(f"/office/records/{old.number}").text, "html.parser").select(".offers li")
    assert given.a["href"].endswith("/in/en.pdf")
    assert given.b.text == "To hand out, marked void"
    assert "says that it is void" in given.text
    assert kept.b.text == "The stored file, for proof"
    assert "does not say that it is void" in kept.text
    assert f"{old.number} (void)" in installer.get("/jobs").text
    codes = [visit().get(f"/s/{token}/in/en.pdf").status_code for _ in range(12)]
    assert codes[-1] == 429
    assert len(made) < 16


def test_who_has_the_link_is_told_calmly_to_wait_and_the_firm_is_not_kept(
    visit: Any, issue: Any, store: Any, app: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(wanted: Any) -> bytes:
        raise PressBusy("other papers are being made just now")

    monkeypatch.setattr(certificate, "render_for_link", busy)
    monkeypatch.setattr(certificate, "render_translated", lambda wanted: b"%PDF at once")
    opened = issue()
    token, _ = store.shares.make(opened.organisation, opened.id)
    answer = visit(None).get(f"/s/{token}/in/es.pdf")
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "20")
    assert answer.headers["Cache-Control"] == "no-store"
    page = BeautifulSoup(answer.text, "html.parser")
    assert page.html["lang"] == "es"
    assert "todavía no está listo" in page.h1.text
    ways = [one["href"] for one in page.select("main a")]
    assert ways == [f"/s/{token}/in/es.pdf", f"/s/{token}?lang=es"]
    assert not BeautifulSoup(visit(None).get(f"/s/{token}?lang=es").text, "html.parser").select("main a[download][href$=pdf]")
    assert visit("office").get(f"/office/records/{opened.number}/in/es.pdf").data == b"%PDF at once"


def test_a_mail_knows_a_press_that_is_away_from_a_paper_that_breaks(issue: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    opened, given = issue(), []

    def press(wanted: Any) -> bytes:
        given.append(wanted)
        raise faults.pop(0)

    monkeypatch.setattr(certificate, "render_for_mail", press)
    faults = [PressBusy("others"), PressAway("died"), RenderFailed("a paper")]
    for _ in range(2):
        with pytest.raises(NotMade, match=r"others|died"):
            translated.for_mail(opened, "es")
    with pytest.raises(RenderFailed, match="a paper"):
        translated.for_mail(opened, "es")
    assert {(one.filed.number, one.language, one.standing) for one in given} == {(opened.number, "es", "current")}


def test_who_has_the_link_cannot_have_it_made_without_end(visit: Any, issue: Any, store: Any, made: list[Any]) -> None:
    opened = issue()
    token, _ = store.shares.make(opened.organisation, opened.id)
    nobody = visit(None)
    codes = [nobody.get(f"/s/{token}/in/es.pdf").status_code for _ in range(13)]
    assert codes[:10] == [200] * 10
    assert codes[-1] == 429
    assert len(made) < 13
    assert nobody.get(f"/s/{token}/certificate.pdf").status_code == 200, "the paper itself costs nothing"
    assert nobody.get("/s/" + "A" * 32 + "/in/es.pdf").status_code == 404
    assert len(made) < 13
