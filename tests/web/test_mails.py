"""Mail on the pages: asked for, refused with the reason, seen when it fails, put right; and the test of the settings."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.__main__ import main
from heaterapp.archive.carried import Carried
from heaterapp.web.mail_block import NOT_SET_UP
from tests.mailing import post_office

from .conftest import PAPER, hidden

SETTINGS = {"host": "localhost", "port": 1, "security": "none", "sender": "papers@harbor.example"}
TO = "dana@example.com"


@pytest.fixture
def mailing(app: Any, store: Any, firms: Any) -> Any:
    """The app reached under an address of its own, mail set up."""
    app.config["PUBLIC_URL"] = "https://papers.harbor.example"
    store.organisations.save_settings(firms["a"].id, {"mail": SETTINGS})
    return app


@pytest.fixture
def ask(visit: Any, mailing: Any) -> Callable[..., Any]:
    """Send the form of a page as it stands, filled in."""

    def sent(page: str, role: str = "office", **typed: str) -> Any:
        visitor = visit(role)
        form = BeautifulSoup(visitor.get(page).text, "html.parser").find("input", {"name": "mail_key"}).find_parent("form")
        fields = {one["name"]: one.get("value", "") for one in form.find_all("input")}
        fields["mail_language"] = form.select_one("select [selected]")["value"]
        return visitor.post(form["action"], {**fields, **typed})

    return sent


@pytest.fixture
def failed(store: Any, firms: Any, people: Any, mailing: Any) -> Callable[[Any], Any]:
    """A mail with this record that no server took."""

    def made(record: Any) -> Any:
        person = people["a", "office"].id
        store.mails.ask(firms["a"].id, record.id, person, "dnaa@example.com", "en", "the-first-form")
        taken = store.mail_queue.take(store.mail_queue.due()[0])
        return store.mail_queue.failed(taken, "mail.example refused this address: 550 <dnaa@example.com>?", for_good=True)

    return made


def soup(answer: Any) -> BeautifulSoup:
    return BeautifulSoup(answer.text, "html.parser")


def test_one_form_asks_for_one_mail_and_its_state_stands_under_it(
    issue: Any, ask: Any, visit: Any, store: Any, people: Any
) -> None:
    record, office = issue(), people["a", "office"]
    store.desk.save(office.organisation, office.id, record.job_id, facts={"contact_email": "desk@example.com"})
    where = f"/jobs/{record.job_id}/issued"
    noted = soup(visit("installer").get(where))
    assert noted.find(id="mail_address")["value"] == "desk@example.com", "as the desk has noted it"
    answer = ask(where, "installer", mail_address=f" {TO} ", mail_language="es")
    assert (answer.status_code, answer.location) == (303, f"{where}?mail=asked#mail")
    (mail,) = store.mails.in_state(office.organisation, "waiting")
    assert (mail.address, mail.language) == (TO, "es")
    page = f"/office/records/{record.number}"
    again = ask(page, mail_address="other@example.com")
    assert again.location == f"{page}?mail=asked#mail"
    shown = soup(visit("office").get(again.location))
    assert shown.select_one(".mails").text.count("Waits to be sent.") == 2
    assert TO in shown.select_one(".mails").text
    assert shown.find(id="mail_address")["value"] == "", "not sent twice by a slip"
    assert shown.select_one("#mail_language [selected]")["value"] == "es"
    assert not shown.select(".mail-late")
    assert f"asked for C-000001 to be mailed to {TO}" in shown.find(id="acts").parent.text


def test_what_is_no_address_is_named_and_stays_typed(issue: Any, visit: Any, store: Any, firms: Any, mailing: Any) -> None:
    installer, where = visit("installer"), f"/jobs/{issue().job_id}/mail"
    for typed in ("nobody", "a@b.example\r\nBcc: c@d.example", "x" * 400):
        sent = {"mail_address": typed, "mail_language": "es", "mail_key": "a-key-of-a-form"}
        answer = installer.post(where, sent)
        page = soup(answer)
        assert answer.status_code == 400
        assert page.title.text.startswith("Error: ")
        box = page.find(id="mail_address")
        assert box["aria-invalid"] == "true"
        assert "Email: " in page.find(id="mail_address-error").text
        assert box["value"].replace("\r\n", "\n") == typed.replace("\r\n", "\n")
        assert page.select_one("#mail_language [selected]")["value"] == "es"
        assert hidden(answer.text, "mail_key") == "a-key-of-a-form"
    assert installer.post(where, {**sent, "mail_address": TO, "mail_key": "x"}).status_code == 400
    assert not store.mails.in_state(firms["a"].id, "waiting")


def test_no_mail_goes_with_a_void_paper_nor_before_it_can(
    issue: Any, visit: Any, store: Any, firms: Any, people: Any, mailing: Any
) -> None:
    record, installer = issue(), visit("installer")

    def why() -> str:
        page = soup(installer.get(f"/jobs/{record.job_id}/issued"))
        assert page.find("input", {"name": "mail_key"}) is None
        sent = installer.post(f"/jobs/{record.job_id}/mail", {"mail_address": TO, "mail_language": "en"})
        assert sent.status_code == 409
        said = page.find(id="mail").find_next("p").text
        assert said in soup(sent).find(id="mail_address").text
        return said

    mailing.config["PUBLIC_URL"] = ""
    assert "HEATERAPP_PUBLIC_URL" in why()
    store.organisations.save_settings(firms["a"].id, {"mail": None})
    assert why() == NOT_SET_UP
    store.void(record.organisation, record.id, people["a", "office"].id, "wrong house")
    assert why() == "No mail goes out with a paper that is void."
    assert not store.mails.in_state(firms["a"].id, "waiting")


def test_a_mail_that_failed_is_seen_everywhere_in_the_office_and_put_right(
    issue: Any, failed: Any, visit: Any, store: Any
) -> None:
    office, record = visit("office"), issue()
    assert "to look at" not in soup(office.get("/office/desk")).find("a", href="/office/mail").text
    installer = visit("installer")
    assert soup(installer.get("/jobs")).find(id="late-mail") is None
    mail = failed(record)
    for person, of in ((installer, ["12 N. Oak Ave, Port Larkin"]), (visit("installer", "b"), [])):
        assert [one.text for one in soup(person.get("/jobs")).select("#late-mail a")] == of
    assert store.mails.late_jobs(record.organisation, office.person.id) == [], "of jobs that are another's"
    way = soup(installer.get("/jobs")).select_one("#late-mail a")["href"]
    assert soup(installer.get(way)).select_one("#mail-list + .mails .mail-late")
    assert soup(office.get("/office/desk")).find("a", href="/office/mail").text == "Mail 1 to look at"
    listed = soup(office.get("/office/mail"))
    assert "550 <dnaa@example.com>?" in listed.select_one(".mail-late").text
    box = listed.find(id=f"again-{mail.id}")
    assert box["value"] == "dnaa@example.com"
    form = {one["name"]: one.get("value", "") for one in box.find_parent("form").find_all("input")}
    bad = office.post(f"/office/mail/{mail.id}", {**form, "address": "dana@"})
    assert bad.status_code == 400
    assert soup(bad).find(id=f"again-{mail.id}")["value"] == "dana@"
    sent = office.post(f"/office/mail/{mail.id}", {**form, "address": TO})
    assert (sent.status_code, sent.location) == (303, "/office/mail")
    assert (store.mails.get(record.organisation, mail.id).address, store.mail_queue.due()[0].id) == (TO, mail.id)
    assert soup(office.get("/office/desk")).find("a", href="/office/mail").text == "Mail"
    assert soup(installer.get("/jobs")).find(id="late-mail") is None


def test_a_mail_that_may_have_arrived_is_never_called_not_sent(
    issue: Any, visit: Any, store: Any, firms: Any, people: Any, mailing: Any
) -> None:
    office, record, firm = visit("office"), issue(), firms["a"].id
    store.mails.ask(firm, record.id, people["a", "office"].id, TO, "en", "the-first-form")
    taken = store.mail_queue.take(store.mail_queue.due()[0])
    store.mail_queue.link(taken, "a token of many letters, of a mail")
    store.mail_queue.failed(taken, "mail.example broke the connection off.", perhaps=True)
    for page in ("/office/mail", f"/office/records/{record.number}"):
        said = soup(office.get(page)).select_one(".mail-says").text
        assert said.startswith("Perhaps sent: the whole mail was handed over, and no answer came. One more try ")
    assert soup(office.get("/office/desk")).find("a", href="/office/mail").text == "Mail 1 to look at"
    where = f"/office/mail/{taken.id}"
    assert office.post(where, {"act": "withdrawn"}).status_code == 303
    said = soup(office.get(f"/office/records/{record.number}")).select_one(".mail-says").text
    assert said == "Taken back. An earlier try may have arrived; its link is closed."


@pytest.mark.parametrize(
    ("why", "ends", "told"),
    [
        ("press", "it could not be made then.", "let the mail with C-000001 go without its translation: it could not be made"),
        ("size", "with it the mail was too large.", "its translation: with it the mail was larger than mail servers take"),
        ("", "", "put a translation of C-000001 into its mail (SHA-256 abab"),
    ],
)  # fmt: skip
def test_a_spanish_mail_that_went_without_its_translation_says_why(
    why: str, ends: str, told: str, issue: Any, visit: Any, store: Any, firms: Any, people: Any, mailing: Any
) -> None:
    record, firm = issue(), firms["a"].id
    store.mails.ask(firm, record.id, people["a", "office"].id, TO, "es", "the-first-form")
    taken = store.mail_queue.take(store.mail_queue.due()[0])
    store.mail_queue.link(taken, "a token of many letters, of a mail", carried=Carried("" if why else "ab" * 32, why))
    store.mail_queue.sent(taken, "250 taken")
    page = soup(visit("office").get(f"/office/records/{record.number}"))
    said = page.select_one(".mail-says").text
    assert said.endswith(f"The Spanish paper did not go along: {ends}" if why else "the mail server took it.")
    assert told in page.find(id="acts").parent.text


def test_the_installer_sends_prints_and_lets_scan_and_another_s_mail_is_nobody_s(
    issue: Any, failed: Any, visit: Any, store: Any, people: Any
) -> None:
    record = issue()
    mail, installer = failed(record), visit("installer")
    page = soup(installer.get(f"/jobs/{record.job_id}/issued"))
    assert page.select_one(".mail-late")
    other = store.jobs.create(record.organisation, people["a", "installer"].id, {"place": "us_ca_2022"})
    assert installer.post(f"/jobs/{other.id}/mail/{mail.id}", {"act": "again"}).status_code == 404
    assert installer.post(f"/jobs/{record.job_id}/mail/{mail.id}", {"act": "burn"}).status_code == 400
    gone = installer.post(f"/jobs/{record.job_id}/mail/{mail.id}", {"act": "withdrawn"})
    assert gone.location == f"/jobs/{record.job_id}/issued?mail=withdrawn#mail"
    assert "Taken back, not sent." in installer.get(gone.location).text
    late = installer.post(f"/jobs/{record.job_id}/mail/{mail.id}", {"act": "again"})
    assert late.status_code == 409
    assert "It was taken back." in late.text
    linked = soup(installer.get(installer.post(f"/jobs/{record.job_id}/link").location))
    assert linked.find("svg", class_="qr"), "a code for the homeowner to scan"
    assert "/s/" in linked.select_one(".link-text a")["href"]
    shown = installer.get(linked.find("a", string="Open the PDF to print it")["href"])
    assert shown.headers["Content-Disposition"].startswith("inline")
    assert shown.data.startswith(PAPER)
    assert "script" not in shown.headers["Content-Security-Policy"]
    assert shown.headers["Cache-Control"] == "no-store"


@pytest.fixture
def office_of_post() -> Iterator[post_office.PostOffice]:
    with post_office.loop_of_its_own() as loop, post_office.opened(loop) as made:
        yield made


def test_a_test_of_the_settings_shows_what_the_server_says(
    visit: Any, store: Any, firms: Any, mailing: Any, office_of_post: post_office.PostOffice
) -> None:
    owner = visit("owner")

    def tried(**settings: Any) -> str:
        store.organisations.save_settings(firms["a"].id, {"mail": {**SETTINGS, **settings}})
        sent = owner.post("/office/firm/mail-test", {"test_to": TO})
        assert (sent.status_code, sent.location) == (303, "/office/firm#mail-test")
        return soup(owner.get("/office/firm")).select_one(".tested").text

    assert "cannot be reached" in tried()
    assert "The last test failed" in tried()
    assert re.search(r"The last test was taken, .*: 250 2\.0\.0 taken", tried(port=office_of_post.port))
    assert b"Harborlight Plumbing" in office_of_post.arrived[0].original_content
    assert office_of_post.arrived[0].rcpt_tos == [TO]
    bad = owner.post("/office/firm/mail-test", {"test_to": "nobody"})
    assert bad.status_code == 400
    assert soup(bad).find(id="test_to")["value"] == "nobody"
    store.organisations.save_settings(firms["a"].id, {"mail": None})
    assert NOT_SET_UP in owner.post("/office/firm/mail-test", {"test_to": TO}).text


def test_the_command_sends_what_is_due_and_says_what_it_could_not(
    issue: Any, ask: Any, store: Any, firms: Any, app: Any, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str], office_of_post: post_office.PostOffice,
) -> None:  # fmt: skip
    store.organisations.save_settings(firms["a"].id, {"mail": {**SETTINGS, "port": office_of_post.port}})
    monkeypatch.setenv("HEATERAPP_DATA", app.config["DATA_DIR"])
    monkeypatch.setenv("HEATERAPP_PUBLIC_URL", "https://papers.harbor.example")
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    record = issue()
    ask(f"/office/records/{record.number}", mail_address=TO)
    assert main(["send-mail"]) == 0
    assert capsys.readouterr().out == "C-000001, mail 1: sent\n1 sent, 0 put off, 0 given up.\n"
    ask(f"/office/records/{record.number}", mail_address="dnaa@example.com")
    ask(f"/office/records/{record.number}", mail_address="full@example.com")
    office_of_post.rcpt = ["550 5.1.1 no such user", "452 4.2.2 full"]
    assert main(["send-mail"]) == 1
    said = capsys.readouterr().out
    assert "C-000001, mail 2: given up: localhost refused this address: 550 5.1.1 no such user\n" in said
    assert re.search(r"mail 3: put off until \S+Z: .*452 4\.2\.2 full\n0 sent, 1 put off, 1 given up\.\n$", said)
    assert main(["send-mail"]) == 0
