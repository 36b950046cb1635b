"""What is handed out carries the firm's seal where it wants that; what is stored never changes."""

from __future__ import annotations

import hashlib
import io
import zipfile
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.sealing import Stored, look
from heaterapp.web import firm, sealed
from tests.sealing.conftest import small_paper

PLAIN, ARCHIVAL = small_paper("The plain paper"), small_paper("The archival paper")


def papers(record: Any) -> dict[str, bytes]:
    return {"certificate.pdf": PLAIN, "certificate-archival.pdf": ARCHIVAL}


@pytest.fixture
def made(issue: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """A record with two real small PDFs."""
    monkeypatch.setattr("tests.web.conftest.fixed_paper", papers)
    return issue()


@pytest.fixture
def owner(visit: Any) -> Any:
    return visit("owner")


def switch(owner: Any, to: str = "on") -> Any:
    return owner.post("/office/firm", {"seal": to})


def kind_of(store: Any, made: Any, body: bytes) -> tuple[str, str]:
    known = [one.certificate for one in store.seals.all_of(made.organisation)]
    stored = [Stored(made.number, name, paper) for name, paper in papers(made).items()]
    looked = look(body, known, stored)
    return looked.kind, looked.paper.name if looked.paper else ""


def links(store: Any, made: Any) -> list[str]:
    token, _ = store.shares.make(made.organisation, made.id)
    return [f"/s/{token}/certificate.pdf", f"/office/records/{made.number}/file/certificate.pdf"]


def test_without_the_setting_everything_is_given_to_the_byte(visit: Any, store: Any, made: Any) -> None:
    for link in links(store, made):
        answer = visit("office").get(link)
        assert answer.data == PLAIN
        assert f'filename="{made.number}-certificate.pdf"' in answer.headers["Content-Disposition"]
    assert store.seals.current(made.organisation) is None


@pytest.mark.parametrize(("language", "told"), [("en", "inside the file too"), ("es", "Dentro va también")])
def test_the_homeowner_is_told_what_is_inside_a_sealed_file(
    language: str, told: str, visit: Any, store: Any, made: Any, owner: Any
) -> None:
    page = links(store, made)[0].rpartition("/")[0] + f"?lang={language}"
    assert told not in visit(None).get(page).text, "the plain PDF holds nothing besides its pages"
    switch(owner)
    assert told in visit(None).get(page).text


@pytest.mark.usefixtures("stopped_clock")
def test_who_has_the_link_has_no_seals_made_without_end(visit: Any, store: Any, made: Any, owner: Any) -> None:
    link, nobody = links(store, made)[0], visit(None)
    assert [nobody.get(link).status_code for _ in range(12)] == [200] * 12
    switch(owner)
    codes = [nobody.get(link).status_code for _ in range(12)]
    assert (codes[:10], codes[-1]) == ([200] * 10, 429)
    assert visit("office").get(links(store, made)[1]).status_code == 200


def test_with_it_link_office_and_copy_hand_out_the_archival_paper_sealed(
    visit: Any, owner: Any, store: Any, made: Any, app: Any
) -> None:
    covers: list[Any] = []
    app.config["RENDER_COVER"] = lambda cover: covers.append(cover) or b"a cover"
    assert switch(owner).location == "/office/firm?said=saved"
    office = visit("office")
    for link in links(store, made):
        answer = office.get(link)
        assert kind_of(store, made, answer.data) == ("sealed", "certificate-archival.pdf")
        assert f'filename="{made.number}-certificate-sealed.pdf"' in answer.headers["Content-Disposition"]
        assert answer.headers["Cache-Control"] == "no-store"
    kept = office.get(f"/office/records/{made.number}/file/certificate-archival.pdf")
    assert kept.data == ARCHIVAL, "the identity itself is given as it is"
    record = BeautifulSoup(office.get(f"/office/records/{made.number}").text, "html.parser")
    told = record.find("section", {"aria-labelledby": "files"}).text
    assert told.index(f"To give away {made.number}-certificate-sealed.pdf") < told.index("On record ")
    assert f"{made.number}-certificate-archival.pdf" in told
    assert told.count("SHA-256") == 2
    assert hashlib.sha256(ARCHIVAL).hexdigest() in told
    for link in record.select("#files ~ .offers a[download]"):
        given = office.get(link["href"])
        assert f'filename="{link.text}"' in given.headers["Content-Disposition"], "as it is offered"
    installer = visit("installer")
    page = BeautifulSoup(installer.get(f"/jobs/{made.job_id}/issued").text, "html.parser")
    assert "The PDF carries the firm's seal and the data attached; the one for the archive" in page.text
    mine = installer.get(page.find("a", string="Download the PDF")["href"])
    assert kind_of(store, made, mine.data) == ("sealed", "certificate-archival.pdf"), "as the office's is"
    asked = {"what": "paper", "asked_by": "An insurer", "purpose": "A claim", "consent": "yes"}
    copy = office.post(f"/office/records/{made.number}/copy", asked).location
    assert f"{made.number}-certificate-sealed.pdf" in office.get(copy).text
    with zipfile.ZipFile(io.BytesIO(office.get(f"{copy}/papers.zip").data)) as packed:
        assert packed.namelist() == ["0-cover.pdf", "certificate-archival.pdf", "certificate-sealed.pdf"]
        assert kind_of(store, made, packed.read("certificate-sealed.pdf"))[0] == "sealed"
    digest = hashlib.sha256(ARCHIVAL).hexdigest()
    assert [cover.files for cover in covers] == [(("certificate-archival.pdf", digest),)], "what is in the file"
    assert store.records.file(made.organisation, made.id, "certificate.pdf") == PLAIN
    assert store.verify().ok


def test_a_new_key_seals_from_then_on_and_the_old_one_s_papers_still_hold(
    visit: Any, owner: Any, store: Any, made: Any
) -> None:
    switch(owner)
    first = store.seals.current(made.organisation)
    (_, link) = links(store, made)
    before = owner.get(link).data
    asked = {"seen": first.fingerprint}
    refused = owner.post("/office/firm/seal", asked)
    assert (refused.status_code, firm.TICK in refused.text) == (400, True), "the private key would be gone"
    assert BeautifulSoup(refused.text, "html.parser").find(id="new-key").has_attr("open")
    assert store.seals.current(made.organisation).fingerprint == first.fingerprint
    asked["sure"] = "yes"
    assert owner.post("/office/firm/seal", asked).location == "/office/firm?said=seal"
    assert owner.post("/office/firm/seal", asked).location.endswith("said=seal-other")
    second = store.seals.current(made.organisation)
    assert [one.fingerprint for one in store.seals.all_of(made.organisation)] == [
        second.fingerprint, first.fingerprint,
    ]  # fmt: skip
    assert second.fingerprint != first.fingerprint
    assert [kind_of(store, made, body)[0] for body in (before, owner.get(link).data)] == ["sealed", "sealed"]
    page = owner.get("/office/firm").text
    for one in (first, second):
        assert sealed_words(one.fingerprint) in page
    assert owner.post("/office/firm/seal/distrust", {"key": second.fingerprint}).status_code == 400, "in use"
    assert page.count("Trust it no longer") == 1
    gone = owner.post("/office/firm/seal/distrust", {"key": first.fingerprint})
    assert gone.location == "/office/firm?said=seal-distrusted"
    assert "Trust it no longer" not in owner.get("/office/firm").text
    log = owner.get("/office/log").text
    assert "made a key for the seal" in log
    assert "is no longer trusted" in log


def sealed_words(fingerprint: str) -> str:
    return " ".join(fingerprint[at : at + 4] for at in range(0, 64, 4))


def test_a_key_that_stayed_behind_leaves_papers_unsealed_and_the_firm_s_page_says_so(
    owner: Any, store: Any, made: Any
) -> None:
    switch(owner)
    with store.database.write() as connection:
        from heaterapp.archive import seal_tables

        connection.execute(seal_tables.seal_key.delete())
    assert owner.get(links(store, made)[1]).data == PLAIN
    assert "No key here." in owner.get("/office/firm").text
    held = store.seals.current(made.organisation).fingerprint
    # No private key is lost by it, so nothing is asked.
    assert owner.post("/office/firm/seal", {"seen": held}).location == "/office/firm?said=seal"
    assert "No key here." not in owner.get("/office/firm").text
    assert kind_of(store, made, owner.get(links(store, made)[1]).data)[0] == "sealed"


def test_a_paper_that_cannot_be_sealed_is_handed_out_and_the_fault_is_logged(
    owner: Any, store: Any, made: Any, caplog: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    switch(owner)

    def broken(paper: bytes, key: Any, at: Any) -> bytes:
        raise sealed.sealing.NotSealed("no reason")

    monkeypatch.setattr(sealed.sealing, "seal", broken)
    assert owner.get(links(store, made)[1]).data == PLAIN
    assert f"{made.number} could not be sealed: no reason" in caplog.text


def test_the_setting_is_one_of_two_and_a_wrong_one_is_named(owner: Any, store: Any, made: Any) -> None:
    answer = switch(owner, "perhaps")
    assert answer.status_code == 400
    assert "Seal papers that are handed out: one of the list." in answer.text
    assert store.seals.current(made.organisation) is None
    switch(owner)
    switch(owner, "off")
    assert owner.get(links(store, made)[1]).data == PLAIN
    assert "Papers that are handed out" in owner.get("/office/firm").text
