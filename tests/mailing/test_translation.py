"""The Spanish paper in a Spanish mail: named, the same at every try, waited for but not for ever, never left out silently."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from hashlib import sha256
from typing import Any

import pytest

from heaterapp.archive.carried import Carried
from heaterapp.mailing import sending, translation
from heaterapp.mailing.translation import TRIES, NotMade
from tests.mailing.conftest import Mailing
from tests.mailing.post_office import PostOffice
from tests.mailing.test_sending import read

SPANISH = b"%PDF-1.7 en castellano"


class Press:
    """Gives what it is told to give next, and the usual paper after that; keeps what was asked of it."""

    def __init__(self) -> None:
        self.next: list[bytes | Exception] = []
        self.asked: list[tuple[str, str]] = []

    def __call__(self, record: Any, language: str) -> bytes:
        self.asked.append((record.number, language))
        given = self.next.pop(0) if self.next else SPANISH
        if isinstance(given, Exception):
            raise given
        return given


@pytest.fixture
def press() -> Press:
    return Press()


@pytest.fixture
def send(mailing: Mailing, press: Press) -> Callable[..., list[str]]:
    """Let minutes pass and send; the state of each mail that was tried."""
    return lambda minutes=0: [one.mail.state for one in mailing.send(minutes, translate=press)]


@pytest.fixture
def mail(mailing: Mailing) -> Iterator[Any]:
    return mailing.ask(language="es")


def files(envelope: Any) -> dict[str, bytes]:
    return {part.get_filename(): part.get_payload(decode=True) for part in read(envelope).iter_attachments()}


def plain(envelope: Any) -> str:
    return " ".join(read(envelope).get_body(("plain",)).get_content().split())


def carried(mailing: Mailing, mail: Any) -> Carried | None:
    return mailing.store.mails.carried(mailing.firm.id, [mail.record]).get(mail.id)


def noted(mailing: Mailing) -> list[str]:
    entries = mailing.store.log.newest(mailing.firm.id, act="mail", records=[mailing.record])
    return [one.body.split('"what":"')[1].split('"')[0] for one in reversed(entries)]


def test_a_spanish_mail_has_the_paper_on_record_and_its_translation_each_named(
    mailing: Mailing, office: PostOffice, send: Any, press: Press, mail: Any
) -> None:
    assert send() == ["sent"]
    number = mailing.number
    english, spanish = f"{number}-ingles.pdf", f"{number}-espanol-traduccion.pdf"
    assert files(office.arrived[0]) == {english: mailing.paper(), spanish: SPANISH}
    parts = list(read(office.arrived[0]).iter_attachments())
    assert [part["Content-Language"] for part in parts] == ["en", "es"]
    said = plain(office.arrived[0])
    assert f"El certificado {number} va adjunto a este correo dos veces." in said
    assert f"{spanish} es la traducción al español. Se hizo para usted y no consta en el archivo." in said
    assert f"{english} está en inglés y es el que consta en el archivo." in said
    assert "en su página está en español" not in said
    assert press.asked == [(number, "es")]
    assert carried(mailing, mail) == Carried(sha256(SPANISH).hexdigest())
    assert noted(mailing) == ["asked", "translated", "sent"]
    mailing.ask(language="en")
    assert send() == ["sent"]
    assert files(office.arrived[1]) == {f"{number}.pdf": mailing.paper()}
    assert len(press.asked) == 1
    assert mailing.store.verify().ok


def test_every_try_sends_the_same_bytes_and_is_noted_once(
    mailing: Mailing, office: PostOffice, send: Any, mail: Any
) -> None:
    office.content = ["451 4.7.1 later"]
    office.drops = 0
    assert send() == ["waiting"]
    office.drops = 1
    assert send(1) + send(15) == ["perhaps_sent", "sent"]
    first, second = office.arrived
    assert first.original_content == second.original_content
    assert len(files(first)) == 2
    assert noted(mailing) == ["asked", "translated", "sent"]


def test_a_press_that_is_away_delays_a_mail_and_no_other_and_does_not_keep_it(
    mailing: Mailing, office: PostOffice, send: Any, press: Press, mail: Any
) -> None:
    others = [mailing.ask(language="es"), mailing.ask(language="en")]
    for minutes in (0, 1, 5):
        press.next = [NotMade("other papers are being made just now")]
        assert send(minutes) == (["waiting"] * 2 + ["sent"])[: 3 if not minutes else 2]
    assert len(press.asked) == 3 == TRIES, "asked once a round, for all that wait"
    held = mailing.now(mail)
    assert held.said.startswith(
        "Its translation could not be made yet (other papers are being made just now)."
    )
    assert held.said.endswith("after the third time the mail goes with the English paper alone")
    press.next = [NotMade("away")]
    assert send(15) == ["sent", "sent"]
    assert [list(files(one)) for one in office.arrived] == [[f"{mailing.number}.pdf"]] * 3
    assert "va adjunto a este correo, en inglés; en su página está en español." in plain(office.arrived[1])
    assert carried(mailing, mail) == carried(mailing, others[0]) == Carried(why="press")
    assert carried(mailing, others[1]) is None
    assert noted(mailing).count("untranslated") == 2


def test_a_paper_that_breaks_the_press_delays_its_own_mail_alone_and_the_log_has_why(
    mailing: Mailing,
    office: PostOffice,
    send: Any,
    press: Press,
    mail: Any,
    capsys: pytest.CaptureFixture[str],
) -> None:
    other = mailing.ask(language="es")
    press.next = [ZeroDivisionError("odd")]
    assert send() == ["waiting", "sent"]
    said = mailing.now(mail).said
    assert "see the program's log, under " in said
    assert "odd" not in said
    log = capsys.readouterr().err
    assert said.partition("under ")[2][:8] in log
    assert "ZeroDivisionError: odd" in log
    assert send(1) == ["sent"], "made the next time"
    assert [len(files(one)) for one in office.arrived] == [2, 2]
    assert carried(mailing, mail) == carried(mailing, other)


def test_what_may_have_arrived_goes_again_with_the_very_same_or_waits_or_not_at_all(
    mailing: Mailing, office: PostOffice, send: Any, press: Press, mail: Any
) -> None:
    office.drops = 1
    assert send() == ["perhaps_sent"]
    press.next = [NotMade("died")]
    assert send(15) == ["perhaps_sent"], "no server was asked: it is still to be tried once more"
    now = mailing.now(mail)
    assert (now.ended, now.tries, now.said) == (
        False,
        2,
        "Its translation could not be made yet (died). It is tried again",
    )
    press.next = [b"%PDF of a newer program"]
    assert send(5) == ["perhaps_sent"]
    now = mailing.now(mail)
    assert now.ended
    assert now.said == translation.UNLIKE
    assert len(office.arrived) == 1
    assert noted(mailing) == ["asked", "translated", "perhaps"]
    again = mailing.store.mails.again(mailing.firm.id, mail.id, mailing.firm.office.id)
    assert again.message_id == mail.message_id
    assert send() == ["sent"], "made as it was"
    assert office.arrived[0].original_content == office.arrived[1].original_content


def test_the_press_does_not_keep_for_ever_what_may_have_arrived(
    mailing: Mailing, office: PostOffice, send: Any, press: Press, mail: Any
) -> None:
    office.drops = 1
    send()
    press.next = [NotMade("died")] * 20
    states = [state for _ in range(12) for state in send(1440)]
    assert 0 < len(states) < 12
    assert mailing.now(mail).ended
    assert len(office.arrived) == 1


def test_what_nobody_has_may_go_with_another_translation_and_that_is_noted(
    mailing: Mailing, office: PostOffice, send: Any, press: Press, mail: Any
) -> None:
    office.content = ["451 4.7.1 later"]
    send()
    newer = b"%PDF of a newer program"
    press.next = [newer]
    assert send(1) == ["sent"]
    assert files(office.arrived[0])[f"{mailing.number}-espanol-traduccion.pdf"] == newer
    assert carried(mailing, mail) == Carried(sha256(newer).hexdigest())
    assert noted(mailing) == ["asked", "translated", "translated", "sent"]


def test_one_that_went_without_before_goes_without_again(
    mailing: Mailing, office: PostOffice, send: Any, press: Press, mail: Any
) -> None:
    for minutes in (0, 1, 5):
        press.next = [NotMade("died")]
        send(minutes)
    press.next = [NotMade("died")]
    office.drops = 1
    assert send(15) + send(15) == ["perhaps_sent", "sent"]
    first, second = office.arrived
    assert first.original_content == second.original_content
    assert len(files(first)) == 1
    assert len(press.asked) == 4, "not asked again, though it is there by now"


@pytest.mark.parametrize("way", ["the server's limit", "said at the content", "ours"])
def test_a_mail_that_is_too_large_with_it_goes_without_and_that_is_noted(
    way: str,
    mailing: Mailing,
    office: PostOffice,
    send: Any,
    press: Press,
    mail: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    if way == "the server's limit":
        press.next = [b"%PDF".ljust(160_000)]
    elif way == "said at the content":
        office.content = ["554 5.3.4 too big for us"]
    else:
        monkeypatch.setattr(sending, "MOST_BYTES", 3_000)
    assert send() == ["sent"]
    assert list(files(office.arrived[0])) == [f"{mailing.number}.pdf"]
    assert "en su página está en español" in plain(office.arrived[0])
    assert carried(mailing, mail) == Carried(why="size")
    assert (noted(mailing)[1:3] == ["translated", "untranslated"]) == (way == "said at the content")
    assert mailing.now(mail).tries == 1


def test_a_paper_that_is_too_large_by_itself_is_given_up_as_ever(
    mailing: Mailing, office: PostOffice, send: Any, mail: Any
) -> None:
    office.content = ["552 5.3.4 too big"] * 2
    assert send() == ["given_up"]
    assert "too big" in mailing.now(mail).said


def test_what_was_voided_while_its_translation_was_made_does_not_go(
    mailing: Mailing, office: PostOffice, mail: Any
) -> None:
    def slow(record: Any, language: str) -> bytes:
        mailing.store.void(mailing.firm.id, mailing.record, mailing.firm.office.id, "wrong house")
        return SPANISH

    (went,) = mailing.send(translate=slow)
    assert went.mail.state == "given_up"
    assert "is void" in went.mail.said
    assert not office.arrived
    assert carried(mailing, mail) is None
