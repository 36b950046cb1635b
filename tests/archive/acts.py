"""Every act of the archive as one call on one prepared archive: what `fail_at.py` breaks off at every moment."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from uuid import UUID

from heaterapp import archive
from heaterapp.archive import Arrival, Correction, Facts, Photo, Submission, Wanted
from heaterapp.archive.canonical import sha256
from heaterapp.archive.carried import Carried
from heaterapp.archive.desk_shapes import DeskConflict
from heaterapp.archive.rechecks import RecheckMoved, RecheckOpen
from heaterapp.archive.sweeps import Sought
from tests.archive.conftest import taken_along

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
PICTURE = Photo("plate", "", True, "2026-03-14T10:00:00Z", "a" * 64, 4, 3, b"\xff\xd8\xff a picture")
ISSUED, DRAFT, LISTED, WAITING, PHONE, FRESH = (str(UUID(int=number)) for number in range(1, 7))
FIRST = "first-key-1"
SEAL, OLD_SEAL = sha256(b"a certificate"), sha256(b"an old certificate")


def paper(record) -> dict[str, bytes]:
    """A paper of the usual size, which lies outside the database."""
    return {"certificate.pdf": (b"%PDF " + record.number.encode() + record.report).ljust(6000)}


def wish(firm: int, person: int, of_job: str, key: str, **changes) -> Submission:
    usual = Submission(
        organisation=firm, person=person, job_id=of_job, key=key, kind="certificate",
        job=b'{"owner_name":"Mina Pak"}', report=b'{"outcome":"ready"}', signature=b'{"typed":"A. Reyes"}',
        ruleset_digest="ruleset-1", ruleset_version="1.0", ruleset_zip=b"the rules as a zip",
        facts=Facts(address="12 N. Oak Ave", owner="Mina Pak", serial="AB-0012345"),
    )  # fmt: skip
    return replace(usual, **changes)


class Place:
    """The prepared archive, found again by every process from what is stored."""

    def __init__(self, store: archive.Store, folder: Path):
        self.store, self.folder = store, folder

    @cached_property
    def firm(self) -> int:
        return self.store.organisations.by_slug("harborlight").id

    @cached_property
    def owner(self) -> int:
        return self.store.people.by_login(self.firm, "olu").id

    @cached_property
    def leaving(self) -> int:
        """An owner too, with an invitation that waits and a passkey."""
        return self.store.people.by_login(self.firm, "bea").id

    @cached_property
    def installer(self) -> int:
        return self.store.people.by_login(self.firm, "ana").id

    @cached_property
    def first(self) -> int:
        return self.store.records.by_key(self.firm, FIRST).record

    def issue(self, of_job: str, key: str, **changes) -> str:
        return self.store.issue_and_finish(wish(self.firm, self.installer, of_job, key, **changes), paper).number


def opened(folder: Path, upgrade: bool = True) -> archive.Store:
    """Open an archive whose large bodies lie in a folder beside it."""
    (folder / "bodies").mkdir(parents=True, exist_ok=True)
    where = f"file://{folder / 'bodies'}"
    return archive.open_store(data_dir=folder, upgrade=upgrade, clock=lambda: NOON, blobs=where)


def prepare(folder: Path) -> None:
    """One of everything: issued, draft, listed, waiting for its papers, held, shared, invited, booked.

    Beside it, in `empty`, an archive with nothing and the firm's whole export.
    """
    store = opened(folder)
    firm = store.organisations.add("harborlight", "Harborlight Plumbing").id
    owner = store.people.add(firm, "olu", "Olu Grant", "owner", "another password").id
    leaving = store.people.add(firm, "bea", "Bea Shaw", "owner", "a third password").id
    ana = store.people.add(firm, "ana", "Ana Reyes", "installer", "a long password").id
    for job in (ISSUED, DRAFT, LISTED, WAITING):
        store.jobs.create(firm, ana, {"owner_name": "Mina Pak", "house_pressure_psi": "60"}, job)
    first = store.issue_and_finish(wish(firm, ana, ISSUED, FIRST), paper)
    store.issue_and_finish(wish(firm, ana, LISTED, "listed-key-1", kind="correction_list"), paper)
    store.issue(wish(firm, ana, WAITING, "waiting-key-1"))
    store.uploads.hold(firm, ana, PICTURE.sha256, PICTURE.body, 4, 3)
    store.shares.make(firm, first.record, owner)
    store.amendments.save(firm, owner, {"name": "port-larkin"})
    store.sessions.start(firm, ana)
    token, _ = store.invites.make(firm, owner, "Cy Yard", "office")
    store.organisations.save_settings(firm, {"told": token})
    store.invites.make(firm, leaving, "Di Yard", "owner")
    store.passkeys.add(firm, leaving, "credential", b"key", 0, "Phone")
    store.holds.place(firm, LISTED, owner, "a claim")
    store.rechecks.start(firm, owner, "ruleset-8", "8")
    store.seals.make(firm, owner, b"an old certificate", b"an old key")
    store.seals.make(firm, owner, b"a certificate", b"a key", OLD_SEAL)
    store.inspections.book(firm, owner, ISSUED, "2026-03-20", {})
    mail = {"host": "mail.example", "sender": "papers@mail.example"}
    store.organisations.save_settings(firm, {"mail": mail})
    store.mails.ask(firm, first.record, owner, "mina@example.com", "en", "a-key-of-mail")
    empty = folder.with_name("empty")
    opened(empty).close()
    (empty / "whole.zip").write_bytes(taken_along(store, firm))
    store.close()


@dataclass(frozen=True)
class Act:
    """What is done; what it may say when it comes again after it was done; whether coming again adds nothing."""

    name: str
    do: Callable[[Place], object]
    done_already: tuple[type[Exception], ...] = ()
    once: bool = True
    empty: bool = False
    """Whether it is done in the empty archive."""


def _reissue(place: Place) -> str:
    if place.store.records.by_key(place.firm, "again-key-1") is None:
        place.store.jobs.reopen(place.firm, ISSUED)
    return place.issue(ISSUED, "again-key-1")


def _led_on(place: Place) -> None:
    _reissue(place)
    newer = place.store.records.by_key(place.firm, "again-key-1").record
    link = place.store.shares.all_for(place.firm, place.first)[0]
    place.store.shares.lead_on(place.firm, link.id, newer, place.owner)


def _slip(place: Place) -> str:
    mended = Correction(place.first, {"owner_name": "Mina Park"}, {"owner_name": "Mina Pak"})
    return place.issue(ISSUED, "slip-key-1", supersedes=place.first, reason="misspelt", ruleset_zip=None,
                       job=b'{"owner_name":"Mina Park"}', correction=mended)  # fmt: skip


def _arrive(place: Place) -> str:
    arrival = Arrival({"owner_name": "Ada Larkin"}, {"signatures": []}, 0, '{"report": {}}')
    return place.issue(PHONE, PHONE, parcel=b'{"homeowner": "Ada"}', photos=(PICTURE,), arrival=arrival)


def _finish(place: Place) -> list[str]:
    waiting = place.store.records.by_key(place.firm, "waiting-key-1").record
    return sorted(place.store.finish(place.firm, waiting, paper))


def _not_made(place: Place) -> str:
    def breaks(record):
        raise ValueError("no font")

    waiting = place.store.records.by_key(place.firm, "waiting-key-1").record
    with suppress(ValueError):
        place.store.finish(place.firm, waiting, breaks)
    return place.store.unmade(place.firm)[0].why


def _open_again(place: Place) -> str:
    return place.store.corrections.open_again(
        place.firm, place.first, place.owner, {"house_pressure_psi": "80"}, {"house_pressure_psi": "60"},
        "read off the wrong gauge", "open-key-1", place.installer,
    ).state  # fmt: skip


def _take_back(place: Place) -> str:
    if place.store.corrections.opened(place.firm, ISSUED) is None:
        _open_again(place)
    return place.store.corrections.take_back(place.firm, ISSUED, place.owner).state


def _take(place: Place) -> str:
    token = place.store.organisations.get(place.firm).settings["told"]
    return place.store.invites.take(token, "cyy", "a long password").login


def _settings(place: Place) -> str:
    changes = ({"phone": "555-0100"}, {"paper": "a4"}, b"a logo")
    return place.store.organisations.change(place.firm, place.owner, *changes).phone


def _batch(place: Place) -> int:
    run = place.store.rechecks.newest(place.firm)[0]
    to = place.store.rechecks.batch(run, 0, 1)[0].record
    run = replace(run, done_to=0)
    return place.store.rechecks.keep(run, to, 1, {to: {"verdict relief.size": {"now": "fails"}}}).done_to


def _mailed(place: Place) -> str:
    """One try, whoever had begun it before: its process is dead, and its claim has run out."""
    queue, mail = place.store.mail_queue, place.store.mails.get(place.firm, 1)
    if mail.claim is None:
        mail = queue.take(mail) or mail
    if mail.state == "waiting":
        queue.link(mail, "a token of many letters", carried=Carried("ab" * 32))
        queue.sent(mail, "250 taken")
    return place.store.mails.get(place.firm, 1).state


def _unmailed(place: Place) -> str:
    queue, mail = place.store.mail_queue, place.store.mails.get(place.firm, 1)
    if mail.claim is None:
        mail = queue.take(mail) or mail
    return queue.failed(mail, "550 no such user", for_good=True).state


def _import(place: Place) -> tuple[str, int]:
    with (place.folder / "whole.zip").open("rb") as file:
        told = place.store.moving.bring(file)
    return told.name, told.records


def _inspection(place: Place):
    return place.store.inspections.of_job(place.firm, ISSUED)[0]


ACTS = [
    Act("issue", lambda p: p.issue(DRAFT, "draft-key-1")),
    Act("issue with new rules", lambda p: p.issue(DRAFT, "rules-key-1", ruleset_digest="ruleset-2")),
    Act("list", lambda p: p.issue(LISTED, "listed-key-2", kind="correction_list")),
    Act("issue again", _reissue),
    Act("correct a slip", _slip),
    Act("open to correct", _open_again),
    Act("take back an opening", _take_back, (archive.Invalid,)),
    Act("arrive", _arrive),
    Act("finish", _finish),
    Act("not made", _not_made),
    Act("void", lambda p: p.store.void(p.firm, p.first, p.owner, "wrong house")),
    Act("erase", lambda p: p.store.erase(p.firm, p.first, p.owner, "asked for")),
    Act("mail", lambda p: p.store.mails.ask(p.firm, p.first, p.owner, "mo@example.com", "es", "mail-key-1").state),
    Act("mail sent", _mailed),
    Act("mail given up", _unmailed),
    Act("mail again", lambda p: p.store.mails.again(p.firm, 1, p.owner, "mo@example.com").state, once=False),
    Act("mail taken back", lambda p: p.store.mails.withdraw(p.firm, 1, p.owner), (archive.NotMailed,)),
    Act("hold", lambda p: bool(p.store.holds.place(p.firm, DRAFT, p.owner, "a claim")), once=False),
    Act("lift", lambda p: bool(p.store.holds.lift(p.firm, p.store.holds.of_job(p.firm, LISTED)[0].id, p.owner, "over"))),
    Act("erase a job", lambda p: p.store.erase_job(p.firm, ISSUED, p.owner, "asked for")),
    Act("seal", lambda p: p.store.seals.make(p.firm, p.owner, b"another", b"its key", SEAL).fingerprint),
    Act("seal distrusted", lambda p: p.store.seals.distrust(p.firm, p.owner, OLD_SEAL).fingerprint),
    Act("share", lambda p: bool(p.store.shares.make(p.firm, p.first, p.owner)), once=False),
    Act("lead a link on", _led_on),
    Act("unshare", lambda p: p.store.shares.revoke(p.firm, p.store.shares.all_for(p.firm, p.first)[0].id)),
    Act(
        "amend",
        lambda p: p.store.amendments.save(p.firm, p.owner, {"name": "port-larkin"}, 1).version,
        (archive.Invalid,),
    ),
    Act(
        "withdraw",
        lambda p: p.store.amendments.withdraw(p.firm, p.owner, "port-larkin", 1).version,
        (archive.Invalid,),
    ),
    Act("settings", _settings),
    Act("person", lambda p: p.store.people.save(p.firm, p.installer, role="office", by=p.owner).role),
    Act("person closed", lambda p: p.store.people.save(p.firm, p.leaving, disabled=True, by=p.owner).disabled),
    Act("password", lambda p: p.store.people.set_password(p.firm, p.leaving, "a new password", p.owner), once=False),
    Act("invite", lambda p: bool(p.store.invites.make(p.firm, p.owner, "Di Yard", "installer")), once=False),
    Act("take an invitation", _take, (archive.NotFound,)),
    Act("uninvite", lambda p: p.store.invites.revoke(p.firm, 1, p.owner)),
    Act("export", lambda p: p.store.exports.note(p.firm, p.owner, "csv", Wanted(), 3), once=False),
    Act("recheck", lambda p: bool(p.store.rechecks.start(p.firm, p.owner, "ruleset-9", "9")), (RecheckOpen,)),
    Act("recheck goes on", _batch, (RecheckMoved,)),
    Act("recheck ends", lambda p: bool(p.store.rechecks.finish(p.store.rechecks.newest(p.firm)[0], p.owner))),
    Act("letters", lambda p: p.store.sweeps.note(p.firm, p.owner, "letters", Sought(model="WH40"), 3), once=False),
    Act("import", _import, empty=True),
    Act("desk opens", lambda p: bool(p.store.desk.open(p.firm, p.owner, FRESH, {}, {"permit_number": "B26-1"}))),
    Act("desk saves", lambda p: bool(p.store.desk.save(p.firm, p.owner, DRAFT, answers={"owner_name": "Mo"}))),
    Act(
        "book",
        lambda p: p.store.inspections.book(p.firm, p.owner, DRAFT, "2026-03-21", {}).booked_for,
        (archive.Invalid,),
    ),
    Act(
        "inspected",
        lambda p: p.store.inspections.tell(
            p.firm, p.owner, _inspection(p).id, 1, "passed", "2026-03-20", {"final": "yes"}
        ).result,
        (archive.Invalid, DeskConflict),
    ),
]
