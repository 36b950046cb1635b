"""Another organisation's rows do not exist, whatever is asked; every method that takes one is tried."""

import inspect
from contextlib import ExitStack

import pytest

from heaterapp import archive
from heaterapp.archive import NotFound
from heaterapp.archive.carried import Carried
from tests.archive.conftest import NOON, a_firm, quickly_hashed

PARTS = (
    "organisations", "people", "sessions", "throttle", "jobs", "records", "shares", "log", "amendments", "invites",
    "passkeys", "corrections", "exports", "months", "holds", "copies", "moving", "seals", "mails", "mail_queue",
)  # fmt: skip

REFUSED = {
    "people.get": lambda s, me, them: s.people.get(me, them.installer.id),
    "people.save": lambda s, me, them: s.people.save(me, them.installer.id, name="X", disabled=True),
    "people.set_password": lambda s, me, them: s.people.set_password(me, them.installer.id, "a new password"),
    "people.sign_out": lambda s, me, them: s.people.sign_out(me, them.session.id, 1),
    "people.knows_password": lambda s, me, them: s.people.knows_password(me, them.installer.id, "x", "::1"),
    "sessions.end_own": lambda s, me, them: s.sessions.end_own(me, them.installer.id, them.session.id),
    "invites.make": lambda s, me, them: s.invites.make(me, them.office.id, "X", "office"),
    "invites.revoke": lambda s, me, them: s.invites.revoke(me, them.invite.id, 1),
    "passkeys.add": lambda s, me, them: s.passkeys.add(me, them.office.id, "cccc", b"key", 0, "X"),
    "passkeys.remove": lambda s, me, them: s.passkeys.remove(me, them.office.id, them.passkey.id, 1),
    "passkeys.remove_by_id": lambda s, me, them: s.passkeys.remove_by_id(me, them.passkey.id),
    "sessions.start": lambda s, me, them: s.sessions.start(me, them.installer.id),
    "sessions.end_by_id": lambda s, me, them: s.sessions.end_by_id(me, them.session.id),
    "jobs.create": lambda s, me, them: s.jobs.create(me, them.installer.id),
    "jobs.get": lambda s, me, them: s.jobs.get(me, them.job.id),
    "jobs.save_answers": lambda s, me, them: s.jobs.save_answers(me, them.job.id, {"a": 1}),
    "jobs.save_signature": lambda s, me, them: s.jobs.save_signature(me, them.job.id, {}),
    "jobs.assign": lambda s, me, them: s.jobs.assign(me, them.job.id, None),
    "jobs.reopen": lambda s, me, them: s.jobs.reopen(me, them.job.id),
    "records.get": lambda s, me, them: s.records.get(me, them.record),
    "records.by_number": lambda s, me, them: s.records.by_number(me, "C-000001"),
    "records.hit": lambda s, me, them: s.records.hit(me, "C-000001"),
    "records.status": lambda s, me, them: s.records.status(me, them.record),
    "records.file": lambda s, me, them: s.records.file(me, them.record, "certificate.pdf"),
    "records.file_names": lambda s, me, them: s.records.file_names(me, them.record),
    "records.file_sizes": lambda s, me, them: s.records.file_sizes(me, them.record),
    "records.ruleset": lambda s, me, them: s.records.ruleset(me, "ruleset-1"),
    "shares.make": lambda s, me, them: s.shares.make(me, them.record),
    "shares.revoke": lambda s, me, them: s.shares.revoke(me, them.share.id),
    "shares.lead_on": lambda s, me, them: s.shares.lead_on(me, them.share.id, them.record),
    "amendments.versions": lambda s, me, them: s.amendments.versions(me, "only-theirs"),
    "amendments.save": lambda s, me, them: s.amendments.save(me, them.office.id, {"name": "only-theirs"}, 1),
    "amendments.withdraw": lambda s, me, them: s.amendments.withdraw(me, them.office.id, "only-theirs", 1),
    "finish": lambda s, me, them: s.finish(me, them.record, lambda record: {"a.pdf": b"x"}),
    "corrections.open_again": lambda s, me, them: s.corrections.open_again(
        me, them.record, them.office.id, {"a": 1}, {}, "why", "a-key-of-mine"
    ),
    "corrections.take_back": lambda s, me, them: s.corrections.take_back(me, them.job.id, them.office.id),
    "copies.give": lambda s, me, them: s.copies.give(me, them.record, them.office.id, "a", "b", "c", False),
    "copies.given": lambda s, me, them: s.copies.given(me, them.record, them.copy),
    "seals.make": lambda s, me, them: s.seals.make(me, them.office.id or 0, b"a certificate", b"a key"),
    "seals.distrust": lambda s, me, them: s.seals.distrust(me, them.office.id, them.seal.fingerprint),
    "holds.place": lambda s, me, them: s.holds.place(me, them.job.id, them.office.id, "why"),
    "holds.place_again": lambda s, me, them: s.holds.place_again(me, them.job.id, them.office.id, "why"),
    "holds.lift_again": lambda s, me, them: s.holds.lift_again(me, them.hold.id, "why"),
    "holds.lift": lambda s, me, them: s.holds.lift(me, them.hold.id, them.office.id, "why"),
    "mails.ask": lambda s, me, them: s.mails.ask(me, them.record, them.office.id, "a@b.example", "en", "k" * 8),
    "mails.again": lambda s, me, them: s.mails.again(me, them.mail.id, them.office.id),
    "mails.withdraw": lambda s, me, them: s.mails.withdraw(me, them.mail.id, them.office.id),
    "mails.get": lambda s, me, them: s.mails.get(me, them.mail.id),
    "erase_job": lambda s, me, them: s.erase_job(me, them.job.id, them.office.id, "why"),
    "retire_job": lambda s, me, them: s.retire_job(me, them.job.id, them.office.id),
    "void": lambda s, me, them: s.void(me, them.record, them.office.id, "why"),
    "erase": lambda s, me, them: s.erase(me, them.record, them.office.id, "why"),
}
EMPTY = {
    "people.by_login": lambda s, me, them: s.people.by_login(me, "only-theirs"),
    "people.all": lambda s, me, them: [p for p in s.people.all(me) if p.organisation != me],
    "sessions.all_for": lambda s, me, them: s.sessions.all_for(me, them.installer.id),
    "sessions.live": lambda s, me, them: s.sessions.live(me, them.installer.id),
    "sessions.end_others": lambda s, me, them: s.sessions.end_others(me, them.installer.id, 0),
    "invites.waiting": lambda s, me, them: s.invites.waiting(me),
    "passkeys.all_for": lambda s, me, them: s.passkeys.all_for(me, them.office.id),
    "passkeys.used": lambda s, me, them: s.passkeys.used(me, them.passkey.id, 0, 1),
    "sessions.end_all": lambda s, me, them: s.sessions.end_all(me, them.installer.id),
    "jobs.jobs_for": lambda s, me, them: s.jobs.jobs_for(me, them.installer.id),
    "jobs.all": lambda s, me, them: [job for job in s.jobs.all(me) if job.organisation != me],
    "records.by_key": lambda s, me, them: s.records.by_key(me, them.key),
    "records.of_job": lambda s, me, them: s.records.of_job(me, them.job.id),
    "records.numbers": lambda s, me, them: s.records.numbers(me, [them.record]),
    "records.void_of_jobs": lambda s, me, them: s.records.void_of_jobs(me, [them.job.id]),
    "records.numbers_of_jobs": lambda s, me, them: s.records.numbers_of_jobs(me, [them.job.id]),
    "records.numbers_as_issued": lambda s, me, them: s.records.numbers_as_issued(me, [them.job.id]),
    "records.present": lambda s, me, them: s.records.present(me, them.job.id),
    "records.hazard_stands": lambda s, me, them: s.records.hazard_stands(me, them.job.id),
    "records.current": lambda s, me, them: s.records.current(me, them.job.id, "certificate"),
    "shares.all_for": lambda s, me, them: s.shares.all_for(me, them.record),
    "mails.of_records": lambda s, me, them: s.mails.of_records(me, [them.record]),
    "mails.carried": lambda s, me, them: s.mails.carried(me, [them.record]),
    "mails.in_state": lambda s, me, them: s.mails.in_state(me, "waiting"),
    "mails.count": lambda s, me, them: s.mails.count(me, "waiting"),
    "mails.late_jobs": lambda s, me, them: s.mails.late_jobs(me),
    "holds.of_job": lambda s, me, them: s.holds.of_job(me, them.job.id),
    "unmade": lambda s, me, them: s.unmade(me, them.unmade.job_id) + s.unmade(me),
    "kept_until": lambda s, me, them: s.kept_until(me, them.job.id),
    "corrections.opened": lambda s, me, them: s.corrections.opened(me, them.job.id),
    "amendments.current": lambda s, me, them: s.amendments.current(me),
    "seals.current": lambda s, me, them: s.seals.current(me),
    "seals.with_key": lambda s, me, them: s.seals.with_key(me),
    "seals.all_of": lambda s, me, them: s.seals.all_of(me),
    "log.entries": lambda s, me, them: s.log.entries(me),
    "log.of_job": lambda s, me, them: s.log.of_job(me, them.job.id, [them.record]),
    "log.newest": lambda s, me, them: s.log.newest(me, records=[them.record], actor=them.office.id),
    "find": lambda s, me, them: [*s.find(me).hits, *s.find(me, "oak").hits, *s.find(me, f"_o{them.id}").hits],
}
# These touch nothing but the organisation named, or are tried beside their subject.
OWN = {
    "organisations.get", "organisations.save", "organisations.save_settings", "organisations.change",
    "organisations.logo", "organisations.mail", "people.add", "people.sign_in", "passkeys.spend",
    "throttle.attempt", "throttle.succeeded", "log.head",
    "mails.note_test", "mails.last_test", "exports.moment", "exports.note", "months.read", "moving.leaving",
}  # fmt: skip


def one_of_everything(store, other):
    """Give a firm one of everything."""
    wish = other.wish()
    other.key, other.record = wish.key, store.issue(wish).record
    store.finish(other.id, other.record, lambda record: {"certificate.pdf": b"%PDF"})
    other.unmade = store.issue(other.wish(job_id=other.new_job().id))
    other.token, other.session = store.sessions.start(other.id, other.installer.id)
    other.link, other.share = store.shares.make(other.id, other.record)
    store.amendments.save(other.id, other.office.id, {"name": "only-theirs"})
    owner = store.people.add(other.id, "only-theirs", "Only Theirs", "owner", "a long password").id
    _, other.invite = store.invites.make(other.id, owner, "Cy Yard", "installer")
    other.copy = store.copies.give(other.id, other.record, other.office.id, "paper", "insurer", "claim", True)
    other.hold = store.holds.place(other.id, other.new_job().id, other.office.id, "suit")
    other.seal = store.seals.make(other.id, other.office.id, b"only theirs", b"their key")
    mail = {"host": "mail.example", "sender": "papers@mail.example"}
    store.organisations.save_settings(other.id, {"mail": mail})
    other.mail = store.mails.ask(other.id, other.record, other.office.id, "a@b.example", "en", "a-key-of-mail")
    store.mail_queue.link(other.mail, "a token of many letters", carried=Carried("ab" * 32))
    other.passkey = store.passkeys.add(other.id, other.office.id, "bbbb", b"key", 0, "Phone")
    return other


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def wall(request, tmp_path_factory):
    """Two firms in one archive, one for all tests of this file: what is refused leaves nothing behind.

    A method that does act on the other firm fails its own test; those behind it may then fail as well.
    """
    with ExitStack() as stack:
        stack.enter_context(quickly_hashed())
        place = {"data_dir": tmp_path_factory.mktemp("walls")}
        if request.param == "postgresql":
            url = stack.enter_context(request.getfixturevalue("postgres_server").lent())
            place = {"url": url, "upgrade": False}
        store = archive.open_store(**place, clock=lambda: NOON)
        stack.callback(store.close)
        firm = a_firm(store, "harborlight", "Harborlight Plumbing")
        yield store, firm, one_of_everything(store, a_firm(store, "larkin-heat", "Larkin Heat"))


def test_every_method_that_takes_an_organisation_is_tried(store):
    takes = {name for name in vars(store) if "organisation" in _parameters(getattr(store, name))}
    for part in PARTS:
        held = getattr(store, part)
        names = [name for name, _ in inspect.getmembers(held, inspect.ismethod) if not name.startswith("_")]
        takes |= {f"{part}.{name}" for name in names if "organisation" in _parameters(getattr(held, name))}
    assert takes == set(REFUSED) | set(EMPTY) | OWN


def _parameters(held):
    return inspect.signature(held).parameters if inspect.ismethod(held) else {}


@pytest.mark.parametrize("name", REFUSED)
def test_a_foreign_id_is_refused_like_an_unknown_one(wall, name):
    store, firm, them = wall
    before = store.log.head(them.id), store.jobs.get(them.id, them.job.id)
    with pytest.raises(NotFound) as foreign:
        REFUSED[name](store, firm.id, them)
    with pytest.raises(NotFound) as nowhere:
        REFUSED[name](store, 999, them)
    assert (store.log.head(them.id), store.jobs.get(them.id, them.job.id)) == before
    assert store.people.get(them.id, them.installer.id) == them.installer
    persons = (
        "shares.make", "shares.revoke", "shares.lead_on", "erase", "erase_job", "retire_job", "holds.place", "holds.lift", "copies.give", "void",
        "corrections.open_again", "corrections.take_back", "jobs.create", "amendments.save", "amendments.withdraw",
        "people.save", "people.set_password", "people.sign_out", "invites.make", "invites.revoke", "passkeys.add",
        "passkeys.remove", "passkeys.remove_by_id", "holds.place_again", "holds.lift_again", "seals.make", "seals.distrust", "mails.ask", "mails.again", "mails.withdraw",
    )  # fmt: skip
    if name not in persons:
        assert str(foreign.value) == str(nowhere.value)


class Absurd:
    """A firm whose every id is nothing a row could have."""

    def __init__(self, value):
        self.id = self.record = self.key = value
        self.seal = self.fingerprint = self.installer = self.office = self.job = self.session = self.share = self.invite = self.passkey = self.hold = self.copy = self.mail = self.unmade = self.job_id = self


@pytest.mark.parametrize(
    "value", [10**30, -(10**30), 2**31, -1, 0, "1 OR 1=1", b"1", 1.5, None, [1]], ids=repr
)
@pytest.mark.parametrize("name", REFUSED)
def test_an_absurd_id_is_refused_like_an_unknown_one(wall, name, value):
    store, firm, them = wall
    act, absurd = REFUSED[name], Absurd(value)
    if name in ("records.by_number", "records.hit", "records.ruleset"):
        with pytest.raises(NotFound):
            act(store, value, them)
    elif value is None and name in ("jobs.create",):
        assert act(store, firm.id, absurd).installer is None
    else:
        with pytest.raises(NotFound):
            act(store, firm.id, absurd)
        with pytest.raises(NotFound):
            act(store, value, them)


@pytest.mark.parametrize("name", EMPTY)
def test_a_foreign_question_has_an_empty_answer(wall, name):
    store, firm, them = wall
    assert not EMPTY[name](store, firm.id, them)
    assert not EMPTY[name](store, 999, them)
    assert store.sessions.find(them.token) is not None


def test_the_three_doors_by_secret_name_their_organisation(wall):
    store, _, them = wall
    assert store.sessions.find(them.token).organisation == them.id
    assert store.shares.lookup(them.link).organisation == them.id
    record = store.records.get(them.id, them.record)
    assert store.records.check(record.number, record.check_code) is not None


def test_a_foreign_issuer_or_job_cannot_be_used(wall):
    store, firm, them = wall
    for change in ({"person": them.installer.id}, {"job_id": them.job.id}):
        with pytest.raises(NotFound):
            store.issue(firm.wish(**change))
