"""Every route of the app by everybody, on what is their own, on what is another's, and on what is nobody's.

A new route fails here until it has a line in tests/web/route_table.py; the failure says which line.

What holds for each line: nobody signed in is sent to the sign-in; a role that may not gets 403; a role that may is let
in on its own; and another firm's id, a colleague's, a closed link and an unknown one give the same bytes, and 404.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import delete

from heaterapp import create_app, demo
from heaterapp.archive import people as people_module
from heaterapp.archive import tables
from heaterapp.archive.shapes import ROLES
from heaterapp.issue import submission

from .conftest import Visitor, fixed_paper
from .route_table import ANYBODY, FREE, FREE_PARTS, KINDS, OFFICE, OWNER, SIGNED, TABLE, WORK, Row
from .test_security import TOWN

SAFE = ("GET", "HEAD")
A_JOB = "00000000-0000-4000-8000-00000000dead"
UNKNOWN = {
    "record": "C-999999", "job": A_JOB, "issued_job": A_JOB, "job_paper": "C-999999", "amendments": "nowhere",
    "share_token": "A" * 32, "invite_token": "A" * 32, **dict.fromkeys(("person", "share", "invite", "session", "own_session", "passkey", "recheck", "inspection", "copy", "redacted_copy", "mail"), 999999),
}  # fmt: skip


@dataclass
class World:
    """The app with two firms, one of everything in each; everybody who tries is of the firm Saltmarsh."""

    app: Any
    store: Any
    own: dict[tuple[str, str | None], Any] = field(default_factory=dict)
    foreign: dict[tuple[str, str | None], list[Any]] = field(default_factory=dict)
    visitors: dict[str | None, Visitor] = field(default_factory=dict)
    secrets: dict[str | None, str] = field(default_factory=dict)
    heads: dict[int, str] = field(default_factory=dict)

    def visitor(self, role: str | None, fresh: bool = False) -> tuple[Visitor, str]:
        """Who tries, and the secret of the forms that they see."""
        if fresh:
            made = Visitor(self.app, self.visitors[role].person)
            return made, made.secret()
        return self.visitors[role], self.secrets[role]

    def send(self, line: Row, role: str | None, changed: dict[str, Any] | None = None, secret: bool = True) -> Any:
        """Send one request of a line, on the own things of a role but for what is changed."""
        values = {name: self.own[kind, role] for name, kind in line.slots.items()} | (changed or {})
        path = re.sub(r"<(?:[^:<>]+:)?(\w+)>", lambda found: str(values.get(found.group(1), FREE_PARTS.get(found.group(1)))), line.rule)
        visitor, proof = self.visitor(role, fresh=line.ends)
        answer = self._sent(visitor, line, path, values, proof if secret else "")
        answer.get_data()
        answer.close()
        return answer

    def _sent(self, visitor: Visitor, line: Row, path: str, values: dict[str, Any], proof: str) -> Any:
        if line.method in SAFE:
            return visitor.client.open(path, method=line.method, headers={"Accept": "application/json"} if line.json else {})
        headers = {"X-CSRFToken": proof} if proof else {}
        if line.json:
            return visitor.client.open(path, method=line.method, json={}, headers=headers)
        sent = {name: values[f"@{name}"] if text.startswith("@") else text for name, text in line.fields.items()}
        return visitor.client.open(path, method=line.method, data=sent, headers=headers)

    def calm(self) -> None:
        """Forget what was guessed, so that the next line is answered."""
        with self.store.database.write() as connection:
            connection.execute(delete(tables.throttle))


@pytest.fixture(scope="module")
def world(filled_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[World]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(people_module, "hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
        folder = tmp_path_factory.mktemp("routes") / "data"
        shutil.copytree(filled_folder, folder)
        app = create_app(DATA_DIR=str(folder), TESTING=True, SECRET_KEY="test" * 8, RENDER=fixed_paper, RENDER_TRANSLATED=lambda _: b"%PDF")
        made = World(app, app.extensions["archive"])
        _fill(made)
        yield made
        made.store.close()


def _fill(world: World) -> None:
    store = world.store
    theirs, mine = store.organisations.default(), store.organisations.by_slug("saltmarsh")
    people = {firm.id: {one.role: one for one in store.people.all(firm.id)} for firm in (theirs, mine)}
    colleague = store.people.add(mine.id, "colleague", "Colleague", "installer", "copper-kettle-47")
    things = {firm.id: _things(store, people[firm.id]) for firm in (theirs, mine)}
    # Numbers of firms may be alike: the other firm's is one that this firm has not.
    issued = [_issued(store, people[theirs.id]["installer"])[1] for _ in range(2)]
    foreign = things[theirs.id] | {"record": issued[-1]}
    foreign["job_paper"] = foreign["record"]
    hers = _things(store, {**people[mine.id], "installer": colleague}, number=1)
    roles = {None: people[mine.id]["installer"]} | people[mine.id]
    for role, person in roles.items():
        for kind in KINDS:
            world.own[kind, role], world.foreign[kind, role] = things[mine.id][kind], [foreign[kind]]
        world.own["own_session", role] = store.sessions.start(mine.id, person.id, "spare")[1].id
        world.own["passkey", role] = store.passkeys.add(mine.id, person.id, f"key-of-{role}", b"key", 0, "Spare").id
        world.foreign["own_session", role].append(hers["own_session"])
        world.foreign["passkey", role].append(hers["passkey"])
        if role == "installer":
            for kind in ("job", "issued_job", "job_paper"):
                world.foreign[kind, role].append(hers[kind])
        for kind in ("share_token", "invite_token"):
            world.foreign[kind, role] = things[mine.id][f"dead_{kind}s"]
        world.visitors[role] = Visitor(world.app, person if role else None)
        world.secrets[role] = world.visitors[role].secret()
    world.heads = {firm.id: store.log.head(firm.id) for firm in (theirs, mine)}


def _issued(store: Any, person: Any) -> tuple[str, str, int]:
    """A job that was issued: its id, its paper's number, the record."""
    story = demo.Story("PL-0001", "gas", "12 N. Oak Ave", "Dana Whitlock", "LW26K0041877", "2026-09-03")
    job = store.jobs.create(person.organisation, person.id, demo.answers_of(story))
    signed = {"signatures": [{"name": person.name, "method": "typed"}]}
    job = store.jobs.save_signature(job.organisation, job.id, signed)
    issued = store.issue_and_finish(submission(person, job, f"{job.id}.1"), fixed_paper)
    return job.id, issued.number, issued.record


def _mail(store: Any, person: Any, record: int) -> int:
    """A mail that waits."""
    store.organisations.save_settings(person.organisation, {"mail": {"host": "localhost", "sender": "a@b.example"}})
    return store.mails.ask(person.organisation, record, person.id, "c@d.example", "en", f"key-{record:06}").id


def _things(store: Any, people: dict[str, Any], number: int = 0) -> dict[str, Any]:
    """One of every kind of a firm."""
    installer, owner = people["installer"], people["owner"]
    firm, past = installer.organisation, store.database.clock() - timedelta(days=9)
    job, paper, record = _issued(store, installer)
    token, _ = store.shares.make(firm, record)
    _, spare = store.shares.make(firm, record)
    closed, revoked = store.shares.make(firm, record)
    store.shares.revoke(firm, revoked.id)
    lapsed, _ = store.shares.make(firm, record, expires_at=past)
    invite_token, invite = store.invites.make(firm, owner.id, "New One", "office")
    shut, unwanted = store.invites.make(firm, owner.id, "Not Wanted", "office")
    store.invites.revoke(firm, unwanted.id, owner.id)
    used, _ = store.invites.make(firm, owner.id, "Joined", "office")
    store.invites.take(used, f"joined{number}", "copper-kettle-47")
    late, _ = store.invites.make(firm, owner.id, "Late", "office", now=past)
    if not number:
        store.amendments.save(firm, owner.id, TOWN if firm == 1 else {**TOWN, "name": "marsh"})
    draft = store.jobs.create(firm, installer.id, {"place": "us_ca_2022"}).id
    return {
        "record": paper, "job": draft, "issued_job": job,
        "job_paper": paper, "person": installer.id, "share": spare.id, "share_token": token, "invite": invite.id,
        "invite_token": invite_token, "session": store.sessions.start(firm, installer.id)[1].id,
        "own_session": store.sessions.start(firm, installer.id)[1].id, "amendments": "town" if firm == 1 else "marsh",
        "passkey": store.passkeys.add(firm, installer.id, f"key-{firm}-{number}", b"key", 0, "Phone").id,
        "inspection": store.inspections.book(firm, owner.id, draft, "2030-01-15", {}).id,
        "copy": store.copies.give(firm, record, owner.id, "paper", "An insurer", "A claim", True),
        "redacted_copy": store.copies.give(firm, record, owner.id, "redacted", "A buyer", "A sale", True),
        "mail": _mail(store, installer, record),
        "recheck": store.rechecks.start(firm, owner.id, f"rules {number}", "1").id,
        "dead_share_tokens": [closed, lapsed], "dead_invite_tokens": [shut, used, late],
    }  # fmt: skip


def _asks_to_sign_in(answer: Any) -> bool:
    return answer.status_code == 401 or str(answer.headers.get("Location", "")).startswith("/sign-in?next=")


def _same(page: Any, asked: Any) -> tuple[int, str, str]:
    """An answer without what differs for everybody each time: secrets of forms, and the id in an address."""
    text = re.sub(r'(content|value)="[^"]{40,}"', "", page.get_data(as_text=True))
    id_ = re.compile(rf"/{re.escape(str(asked))}(?=[/\"?&#<]|$)")
    return page.status_code, id_.sub("/ID", text), id_.sub("/ID", str(page.headers.get("Location", "")))


def test_the_table_names_every_route_and_no_other(app: Any) -> None:
    named = {(line.rule, line.method) for line in TABLE}
    assert len(named) == len(TABLE), "a line stands twice in TABLE"
    routes = {
        (rule.rule, method): app.view_functions[rule.endpoint]
        for rule in app.url_map.iter_rules()
        for method in rule.methods - {"HEAD", "OPTIONS"}
    }
    said = {ANYBODY: "ANYBODY", SIGNED: "SIGNED", WORK: "WORK", OFFICE: "OFFICE", OWNER: "OWNER"}
    missing = [
        f'    row("{rule}", "{method}", {said.get(getattr(routes[rule, method], "roles", ANYBODY), "?")}'
        + "".join(f', {part}="KIND"' for part in re.findall(r"(\w+)>", rule)) + "),"
        for rule, method in sorted(routes.keys() - named)
    ]  # fmt: skip
    assert not missing, "Add to TABLE in tests/web/route_table.py:\n" + "\n".join(missing)
    assert not named - routes.keys(), f"no such route any more, take out of TABLE: {named - routes.keys()}"
    for line in TABLE:
        roles = getattr(routes[line.rule, line.method], "roles", ANYBODY)
        assert set(roles) == set(line.who), f"{line}: the view lets in {roles}, the table {line.who}"
        assert set(line.parts) == set(re.findall(r"(\w+)>", line.rule)), f"{line}: say what each part of it is"
        assert set(line.parts.values()) <= {FREE, *KINDS}, f"{line}: a kind that KINDS does not have"


@pytest.mark.parametrize("role", [None, *ROLES], ids=str)
def test_everybody_is_let_in_where_they_may_and_nowhere_else(world: World, role: str | None) -> None:
    wrong = []
    for line in TABLE:
        world.calm()
        answer = world.send(line, role)
        asked, code = _asks_to_sign_in(answer), answer.status_code
        if role in line.who:
            fine = line.refuses == code or (not asked and code not in (403, 404) and line.refuses == 0)
        else:
            fine = asked if role is None else code == 403
        if not fine or code >= 500:
            wrong.append(f"{line} as {role}: {code} {answer.headers.get('Location', '')}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("role", [None, *ROLES], ids=str)
def test_what_is_another_s_looks_like_what_is_nobody_s(world: World, role: str | None) -> None:
    head, wrong = world.store.log.head(1), []
    for line in TABLE:
        for slot, kind in line.slots.items():
            world.calm()
            nowhere = world.send(line, role, {slot: UNKNOWN[kind]})
            if role in line.who and nowhere.status_code != 404:
                wrong.append(f"{line} as {role}, unknown {kind}: {nowhere.status_code}")
            for id_ in world.foreign[kind, role]:
                there = world.send(line, role, {slot: id_})
                if _same(there, id_) != _same(nowhere, UNKNOWN[kind]):
                    wrong.append(f"{line} as {role}: {kind} {id_} of another, {there.status_code}")
    assert not wrong, "\n".join(wrong)
    assert world.store.log.head(1) == head, "something of the other firm was changed"


def test_no_act_works_without_its_secret(world: World) -> None:
    heads = {firm: world.store.log.head(firm) for firm in world.heads}
    for line in TABLE:
        if line.method not in SAFE:
            world.calm()
            answer = world.send(line, "owner", secret=False)
            assert answer.status_code == (403 if line.rule.startswith("/phone/api/") else 400), f"{line}: {answer.status_code}"
            assert "error" in answer.text or "nothing was changed" in answer.text, line
    assert {firm: world.store.log.head(firm) for firm in world.heads} == heads


@pytest.mark.parametrize("broken", ["foreign", "role", "exists"])
def test_a_leak_would_be_seen(world: World, broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The checks themselves, on an app that leaks."""
    views = world.app.view_functions
    view: Callable[..., Any] = views["office.record"]
    answers = {
        "foreign": lambda number: "another's paper" if number == world.foreign["record", "office"][0] else view(number=number),
        "role": lambda number: "anybody's paper",
        "exists": lambda number: ("it is closed", 404) if number == world.foreign["record", "office"][0] else view(number=number),
    }  # fmt: skip
    monkeypatch.setitem(views, "office.record", answers[broken])
    failing = {
        "foreign": lambda: test_what_is_another_s_looks_like_what_is_nobody_s(world, "office"),
        "role": lambda: test_everybody_is_let_in_where_they_may_and_nowhere_else(world, "installer"),
        "exists": lambda: test_what_is_another_s_looks_like_what_is_nobody_s(world, "owner"),
    }[broken]
    monkeypatch.setattr(f"{__name__}.TABLE", [line for line in TABLE if line.rule == "/office/records/<number>"])
    with pytest.raises(AssertionError, match=r"/office/records/<number>"):
        failing()
