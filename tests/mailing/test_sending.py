"""From the queue to the homeowner's box: what arrives, what is tried again, and that it is never two."""

from __future__ import annotations

import email
import json
import re
import threading
from dataclasses import replace
from datetime import timedelta
from email.policy import default
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp import archive
from heaterapp.mailing import sending
from heaterapp.mailing.links import token_of
from heaterapp.mailing.rounds import Rounds
from heaterapp.mailing.sending import Post, account
from heaterapp.sealing import Stored, look, new_key, seal
from tests.archive.conftest import NOON, paper
from tests.mailing.conftest import PUBLIC, SECRET, Mailing
from tests.mailing.post_office import PostOffice
from tests.sealing.conftest import small_paper


def read(envelope: Any) -> Any:
    return email.message_from_bytes(envelope.original_content, policy=default)


def attached(message: Any) -> bytes:
    return next(message.iter_attachments()).get_payload(decode=True)


def link_in(message: Any) -> str:
    html = BeautifulSoup(message.get_body(("html",)).get_content(), "html.parser")
    assert html.a["href"] in message.get_body(("plain",)).get_content()
    return html.a["href"]


def test_the_stored_paper_and_a_link_that_opens_arrive(mailing: Mailing, office: PostOffice) -> None:
    mail = mailing.ask(language="es")
    (went,) = mailing.send()
    assert (went.number, went.mail.state, account([went])) == (mailing.number, "sent", (1, 0, 0))
    message = read(office.arrived[0])
    assert attached(message) == mailing.paper()
    assert message["Message-ID"] == mail.message_id
    assert "bomba de calor" in message.get_body(("plain",)).get_content()
    link = link_in(message)
    assert link.startswith(f"{PUBLIC}/s/")
    assert link.endswith("?lang=es")
    share = mailing.store.shares.lookup(link.split("/s/")[1].split("?")[0])
    assert share is not None
    assert (share.record, share.created_by, share.id) == (mailing.record, mailing.firm.office.id, went.mail.share)
    assert mailing.send() == []
    assert mailing.store.verify().ok


def test_the_token_is_stored_nowhere_and_no_two_mails_share_one(mailing: Mailing, office: PostOffice) -> None:
    first, second = mailing.ask(), mailing.ask()
    mailing.send()
    tokens = [link_in(read(one)).split("/s/")[1] for one in office.arrived]
    assert len(set(tokens)) == 2
    assert token_of(SECRET, first) in tokens
    assert token_of("another" * 8, first) not in tokens
    assert token_of(SECRET, replace(second, id=first.id)) not in tokens
    held = b"".join(path.read_bytes() for path in mailing.store_files())
    assert not [token for token in tokens if token.encode() in held]


def test_greylisted_then_taken_is_the_same_mail_to_the_byte(mailing: Mailing, office: PostOffice) -> None:
    mail = mailing.ask()
    office.content = ["451 4.7.1 come back"]
    (went,) = mailing.send()
    assert (went.mail.state, went.mail.tries) == ("waiting", 1)
    assert went.mail.said == "localhost refused the mail itself: 451 4.7.1 come back"
    assert mailing.send() == []
    assert mailing.send(minutes=1)[0].mail.state == "sent"
    # The server dropped it after it had taken it: once more, and alike.
    again = mailing.ask()
    office.drops = 1
    assert mailing.send()[0].mail.state == "perhaps_sent"
    assert mailing.send(minutes=15)[0].mail.state == "sent"
    assert [read(one)["Message-ID"] for one in office.arrived] == [mail.message_id, again.message_id, again.message_id]
    assert office.arrived[1].original_content == office.arrived[2].original_content
    assert len(mailing.store.shares.all_for(mailing.firm.id, mailing.record)) == 2


def test_no_such_user_is_given_up_at_once_leaves_no_link_and_can_be_put_right(mailing: Mailing, office: PostOffice) -> None:
    mail = mailing.ask("mnia@example.com")
    office.rcpt = ["550 5.1.1 <mnia@example.com>: no such user"]
    (went,) = mailing.send()
    assert (went.mail.state, went.mail.tries) == ("given_up", 1)
    assert "550 5.1.1 <mnia@example.com>: no such user" in went.mail.said
    assert mailing.store.shares.all_for(mailing.firm.id, mailing.record) == []
    assert account([went]) == (0, 0, 1)
    mailing.store.mails.again(mailing.firm.id, mail.id, mailing.firm.office.id, "mina@example.com")
    assert mailing.send()[0].mail.state == "sent"
    assert office.arrived[0].rcpt_tos == ["mina@example.com"]


def test_a_server_that_is_away_is_asked_once_a_round_and_all_go_when_it_is_back(mailing: Mailing, office: PostOffice) -> None:
    for _ in range(3):
        mailing.ask()
    mailing.sends_to({**office.settings(), "port": 1})
    tried = mailing.send()
    assert [went.mail.tries for went in tried] == [1]
    assert "cannot be reached" in tried[0].mail.said
    mailing.sends_to(office.settings())
    assert account(mailing.send(minutes=1)) == (3, 0, 0)
    assert len(office.arrived) == 3


def test_settings_taken_away_meanwhile_are_waited_for_and_told(mailing: Mailing, office: PostOffice) -> None:
    mailing.ask()
    mailing.store.organisations.save_settings(mailing.firm.id, {"mail": None})
    assert "under Firm" in mailing.send()[0].mail.said
    mailing.sends_to(office.settings(reply_to="office@harbor.example"))
    assert "HEATERAPP_PUBLIC_URL" in mailing.send(minutes=1, public_url="")[0].mail.said
    assert mailing.send(minutes=5)[0].mail.state == "sent"
    assert read(office.arrived[0])["Reply-To"] == "office@harbor.example"


def test_two_workers_at_once_send_one_mail(mailing: Mailing, office: PostOffice) -> None:
    asked = [mailing.ask().id for _ in range(4)]
    told: list[Any] = []
    gate = threading.Barrier(3)

    def work() -> None:
        gate.wait(5)
        told.extend(mailing.send())

    threads = [threading.Thread(target=work) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(office.arrived) == 4
    assert len({read(one)["Message-ID"] for one in office.arrived}) == 4
    assert sorted(went.mail.id for went in told if went.mail.state == "sent") == asked


def test_a_paper_that_is_not_pressed_waits_and_goes_when_it_is(mailing: Mailing, office: PostOffice) -> None:
    store, firm = mailing.store, mailing.firm
    waiting = store.issue(firm.wish(job_id=firm.new_job().id)).record
    mail = mailing.ask(record=waiting)
    assert mailing.send() == []
    assert mailing.now(mail).tries == 0
    store.finish(firm.id, waiting, paper)
    assert mailing.send()[0].mail.state == "sent"
    assert attached(read(office.arrived[0])) == mailing.paper(waiting)


def test_a_list_of_corrections_says_what_it_is_and_its_link_opens(mailing: Mailing, office: PostOffice) -> None:
    firm = mailing.firm
    found = {"check": "gas.leak", "hazard": True, "verdict": "fails"}
    report = json.dumps({"findings": [found]}).encode()
    listed = firm.issued(job_id=firm.new_job().id, kind="correction_list", report=report).record
    mailing.ask(record=listed)
    (went,) = mailing.send()
    message = read(office.arrived[0])
    assert message["Subject"].startswith("Not a certificate")
    plain = message.get_body(("plain",)).get_content()
    assert plain.startswith("Stop. Do not use this heater."), "before anything else, as on the page"
    assert "This is not a certificate." in plain
    assert "Your page with the same list in plain words: what must be mended" in plain
    share = mailing.store.shares.lookup(link_in(message).split("/s/")[1])
    assert (share.record, share.id) == (listed, went.mail.share)
    assert attached(message) == mailing.paper(listed)


def test_a_firm_with_a_seal_mails_the_sealed_paper_the_same_at_every_try(mailing: Mailing, office: PostOffice) -> None:
    """Its seal carries the time of asking, or that of its key where that was made later."""
    store, firm = mailing.store, mailing.firm
    archival = small_paper()
    record = store.issue(firm.wish(job_id=firm.new_job().id)).record
    store.finish(firm.id, record, lambda _: {"certificate.pdf": b"plain", "certificate-archival.pdf": archival})
    mailing.ask(record=record)
    store.organisations.save_settings(firm.id, {"seal": "on"})
    mailing.clock[0] += timedelta(minutes=3)
    made = new_key("Harborlight Plumbing", store.database.moment())
    store.seals.make(firm.id, None, made.certificate, made.private)
    office.drops = 1
    try:
        states = [went.mail.state for minutes in (0, 15) for went in mailing.send(minutes)]
    finally:
        store.organisations.save_settings(firm.id, {"seal": "off"})
    assert states == ["perhaps_sent", "sent"]
    first, second = office.arrived
    assert first.original_content == second.original_content
    (part,) = read(first).iter_attachments()
    sealed = part.get_payload(decode=True)
    looked = look(sealed, [made.certificate], [Stored("C-1", "certificate-archival.pdf", archival)])
    assert looked.kind == "sealed"
    assert part.get_filename().endswith("-sealed.pdf")
    assert seal(archival, made, NOON) != sealed, "another time is another file"


def test_a_mail_s_link_ends_by_the_firm_s_setting_and_says_until_when(mailing: Mailing, office: PostOffice) -> None:
    store, firm = mailing.store, mailing.firm
    mail = mailing.ask()
    store.organisations.save_settings(firm.id, {"link_days": 30})
    office.drops = 1
    began = store.database.moment().date()
    mailing.send()
    store.organisations.save_settings(firm.id, {"link_days": None})
    mailing.send(minutes=15)
    first, second = office.arrived
    assert first.original_content == second.original_content, "the link of the first try ends as it was made"
    (share,) = store.shares.all_for(firm.id, mailing.record)
    last = began + timedelta(days=30)
    assert (share.id, share.expires_at) == (mailing.now(mail).share, f"{last + timedelta(days=1)}T00:00:00Z")
    said = f"It opens until {last:%B} {last.day}, {last.year}."
    assert said in " ".join(read(second).get_body(("plain",)).get_content().split())


def test_what_was_voided_or_closed_or_taken_back_before_it_went_does_not_go(mailing: Mailing, office: PostOffice) -> None:
    store, firm = mailing.store, mailing.firm
    office.content = ["451 later"]
    mail = mailing.ask()
    mailing.send()
    store.shares.revoke(firm.id, mailing.now(mail).share, firm.office.id)
    assert "link that it carries was closed" in mailing.send(minutes=1)[0].mail.said
    taken_back = mailing.ask()
    store.mails.withdraw(firm.id, taken_back.id, firm.office.id)
    voided = mailing.ask()
    store.void(firm.id, mailing.record, firm.office.id, "wrong house")
    tried = mailing.send()
    assert [(went.mail.id, went.mail.state) for went in tried] == [(voided.id, "given_up")]
    assert "is void" in tried[0].mail.said
    assert not office.arrived


def test_whatever_breaks_is_told_plainly_and_the_mail_waits(
    mailing: Mailing, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    mail = mailing.ask()

    def breaks(*_: Any, **__: Any) -> None:
        raise ZeroDivisionError("odd")

    monkeypatch.setattr(sending.letter, "written", breaks)
    with pytest.raises(ZeroDivisionError):
        mailing.send()
    held = mailing.now(mail)
    assert held.state == "waiting"
    assert held.said.startswith("The program could not send it.")
    assert not re.search("ZeroDivision|odd", held.said)
    log, reference = capsys.readouterr().err, held.said.split()[-1].rstrip(".")
    assert f"fault {reference}" in log
    assert "ZeroDivisionError: odd" in log


def test_a_long_address_in_every_script_and_hostile_words_arrive_as_text(mailing: Mailing, office: PostOffice) -> None:
    firm = mailing.firm
    long = "شارع النخيل ١٢ 🔥 elbisrever <script>x</script> " * 6
    usual = mailing.store.organisations.get(firm.id).name
    mailing.store.organisations.save(firm.id, name='Börse & <b>Söhne</b>, "Heat"')
    facts = archive.Facts(address=long[:300].strip(), work_date="2026-03-13")
    record = firm.issued(job_id=firm.new_job().id, facts=facts, job=json.dumps({"heater_kind": ["x"]}).encode()).record
    mailing.store.organisations.save(firm.id, name=usual)
    mailing.ask(record=record)
    mailing.send()
    message = read(office.arrived[0])
    html = BeautifulSoup(message.get_body(("html",)).get_content(), "html.parser")
    assert html.script is None
    assert html.b is None
    assert "شارع النخيل ١٢ 🔥" in html.text
    assert "<script>" in message.get_body(("plain",)).get_content()
    assert len(message["From"].addresses) == 1
    assert attached(message) == mailing.paper(record)


def test_the_thread_sends_as_soon_as_somebody_asks(mailing: Mailing, office: PostOffice, monkeypatch: pytest.MonkeyPatch) -> None:
    sent = threading.Event()
    queue = mailing.store.mail_queue
    usual = queue.sent
    monkeypatch.setattr(queue, "sent", lambda *given: (usual(*given), sent.set()))
    rounds = Rounds(mailing.store, Post(PUBLIC, SECRET))
    try:
        mailing.ask()
        assert sent.wait(10)
    finally:
        rounds.end()
    assert len(office.arrived) == 1
    mailing.ask()
    assert not rounds._thread.is_alive()
    assert len(office.arrived) == 1
