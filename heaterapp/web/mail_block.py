"""Mail with a paper as its pages have it: whether one can go, to whom it may, and how earlier ones stand."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from flask import request

from heaterapp import archive
from heaterapp.archive.carried import SIZE, Carried
from heaterapp.archive.mail_shapes import GIVEN_UP, PERHAPS, SENT, UNSENT, WAITING, WITHDRAWN, Mail
from heaterapp.languages import SOURCE, say, spoken
from heaterapp.mailing import addresses
from heaterapp.web.days import shown_moment
from heaterapp.web.desk_block import desk_of
from heaterapp.web.one_record import names_of_people
from heaterapp.web.plain_forms import one
from heaterapp.web.reached import no_mail
from heaterapp.web.security import current_organisation, current_person, store

FIELDS = ("mail_address", "mail_language", "mail_key")
NOT_SET_UP = "Mail is not set up yet. The owner names a mail server under Firm."


@dataclass(frozen=True)
class Line:
    """One mail as a page shows it."""

    mail: Mail
    number: str
    says: str
    late: bool
    """Whether somebody should look at it."""
    open: bool
    """Whether it can be sent again, moved or taken back."""
    asked: str
    who: str

    @property
    def to(self) -> str:
        """Its address; what stands in its place once it was erased."""
        return addresses.as_read(self.mail.address or "") or say("an address that was erased")

    @property
    def language(self) -> str:
        return languages().get(self.mail.language, self.mail.language)


def block_of(
    opened: archive.Record, state: str, errors: Mapping[str, str], said: str = "", pending: bool = False
) -> dict[str, Any]:
    """Return what the block on a record's page shows; what was typed stands in its boxes again.

    state    of the record: current, replaced, void
    errors   of the form just sent
    said     a word of SAID
    """
    org = opened.organisation
    of_job = [hit.record for hit in store().records.of_job(org, opened.job_id)]
    mails = store().mails.of_records(org, of_job)
    before = earlier(opened, state, mails)
    fill = next((mail for mail in before if str(mail.id) == request.args.get("fill")), None)
    typed = {name: one(name) for name in FIELDS if errors and name in request.form}
    filled = addresses.as_read(fill.address or "") if fill else ""
    return {
        "why_not": why_not(state),
        "is_list": opened.kind == "correction_list",
        "address": typed.get("mail_address", filled or _noted(org, opened.job_id, mails)),
        "language": typed.get("mail_language", (fill or mails[0]).language if mails else "en"),
        "before": before,
        "links_before": _links_before(opened, state, mails),
        "languages": languages(),
        "key": typed.get("mail_key") or secrets.token_urlsafe(12),
        "lines": lines_of(org, mails),
        "said": said_of(said),
        "sender": _settings().get("sender", ""),
    }


def why_not(state: str) -> str:
    """Return why no mail can be asked for with a paper, nothing where one can."""
    if state == "void":
        return say("No mail goes out with a paper that is void.")
    if state != "current":
        return say("No mail goes out with a paper that is replaced.")
    if not _settings().get("host"):
        return say(NOT_SET_UP)
    return no_mail()


def said_of(word: str) -> str:
    """Return what a page says after an act on a mail: asked, again, withdrawn."""
    if word == "asked":
        return say("The mail is asked for. How it went stands here in a few seconds.")
    if word == "again":
        return say("It is tried again. How it went stands here in a few seconds.")
    return say("Taken back. It is not tried again.") if word == "withdrawn" else ""


def lines_of(organisation: int, mails: Sequence[Mail]) -> list[Line]:
    """Return mails as a page shows them, in their order."""
    people = names_of_people() if mails else {}
    numbers = store().records.numbers(organisation, {mail.record for mail in mails})
    # Only of mails in another language than their paper.
    asked = {mail.record for mail in mails if mail.language != SOURCE}
    carried = store().mails.carried(organisation, sorted(asked)) if asked else {}
    return [
        Line(
            mail,
            numbers.get(mail.record, ""),
            " ".join(filter(None, (_says(mail), _without(mail, carried.get(mail.id))))),
            late=mail.state == GIVEN_UP or bool(_trouble(mail)),
            open=mail.state in UNSENT,
            asked=shown_moment(mail.asked_at),
            who=people.get(mail.asked_by, say("Somebody")),
        )
        for mail in mails
    ]


def read() -> tuple[str, str, dict[str, str]]:
    """Read address and language as they were typed; and what is wrong, by the name of its box."""
    errors: dict[str, str] = {}
    address, language = "", one("mail_language")
    try:
        address = addresses.read(one("mail_address"))
    except addresses.BadAddress as bad:
        errors["mail_address"] = bad_address(bad)
    if language not in languages():
        errors["mail_language"] = say("Language: choose one of the list.")
    return address, language, errors


def languages() -> dict[str, str]:
    """Return the languages of mails, each by the name that the page's own language has for it."""
    return {"en": say("English"), "es": say("Spanish")}


def bad_address(bad: addresses.BadAddress) -> str:
    """Return what is said of an address that is none, in the language of the page."""
    if spoken() == "en":
        return f"Email: {bad}."
    return say("Email: one mail address, such as maria@example.com, was expected.")


def given_up() -> int:
    """Return how many mails of this firm were given up, or may not have arrived, and wait for somebody."""
    person = current_person()
    try:
        states = (GIVEN_UP, PERHAPS) if person else ()
        return sum(store().mails.count(person.organisation, state) for state in states)
    except Exception:  # the page of an error has this row too, and the database may be that error
        return 0


def _says(mail: Mail) -> str:
    if mail.state == SENT:
        return say("Sent {moment}: the mail server took it.", moment=shown_moment(mail.sent_at))
    if mail.state == GIVEN_UP:
        return say("Not sent, given up. Tries: {count}. {trouble}", count=mail.tries, trouble=_trouble(mail))
    if mail.state == PERHAPS and mail.ended:
        return say(
            "Perhaps sent: the whole mail was handed over, and no answer came. It is not tried again by"
            " itself: ask whether it arrived. Tries: {count}. {trouble}",
            count=mail.tries, trouble=_trouble(mail),
        )  # fmt: skip
    if mail.state == PERHAPS:
        return say(
            "Perhaps sent: the whole mail was handed over, and no answer came. One more try {moment}."
            " {trouble}",
            moment=shown_moment(mail.next_at), trouble=_trouble(mail),
        )  # fmt: skip
    if mail.state == WITHDRAWN and mail.share:
        return say("Taken back. An earlier try may have arrived; its link is closed.")
    if mail.state == WAITING and mail.tries:
        return say(
            "Not sent yet. Tries: {count}; the next {moment}. {trouble}",
            count=mail.tries, moment=shown_moment(mail.next_at), trouble=_trouble(mail),
        )  # fmt: skip
    return say("Waits to be sent.") if mail.state == WAITING else say("Taken back, not sent.")


def _without(mail: Mail, carried: Carried | None) -> str:
    """What is said of a mail that went, or may have, without the translation that belongs to it."""
    if carried is None or carried.sha256 or mail.state not in (SENT, PERHAPS):
        return ""
    if carried.why == SIZE:
        return say("The Spanish paper did not go along: with it the mail was too large.")
    return say("The Spanish paper did not go along: it could not be made then.")


def _trouble(mail: Mail) -> str:
    if mail.state not in UNSENT or not mail.said:
        return ""
    return mail.said if mail.said.endswith((".", "!", "?")) else f"{mail.said}."


def earlier(opened: archive.Record, state: str, mails: Sequence[Mail]) -> list[Mail]:
    """Return the mails of this job's earlier papers whose address has not had this one, one an address."""
    if state != "current":
        return []
    here = {mail.address for mail in mails if mail.record == opened.id and mail.state != WITHDRAWN}
    found: dict[str, Mail] = {}
    for mail in mails:
        went = mail.record < opened.id and mail.state in (SENT, PERHAPS)
        if went and mail.address and mail.address not in here:
            found.setdefault(mail.address, mail)
    return list(found.values())


def _links_before(opened: archive.Record, state: str, mails: Sequence[Mail]) -> int:
    """How many links to this job's earlier papers were made by hand, are open and do not show this one."""
    if state != "current":
        return 0
    org, now = opened.organisation, store().database.now()
    mailed = {mail.share for mail in mails}
    before = (hit for hit in store().records.of_job(org, opened.job_id) if hit.record < opened.id)
    shares = (share for hit in before for share in store().shares.all_for(org, hit.record))
    return sum(
        share.id not in mailed
        and share.shows != opened.id
        and not share.revoked_at
        and (not share.expires_at or share.expires_at > now)
        for share in shares
    )


def _noted(organisation: int, job_id: str, mails: Sequence[Mail]) -> str:
    """The address that the desk has noted for a job that no mail was asked for: a second one is typed."""
    desk = None if mails else desk_of(organisation, job_id)
    return str(desk.facts.get("contact_email") or "") if desk else ""


def _settings() -> Mapping[str, Any]:
    firm = current_organisation()
    held = firm.settings.get("mail") if firm else None
    return held if isinstance(held, dict) else {}
