"""Backups by the clock and by the owner's button: one among all, late ones told in red words."""

from __future__ import annotations

import os
import re
import signal
import threading
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from heaterapp import archive, backing_up
from heaterapp.archive import backups
from heaterapp.archive.backups.timetable import DEAD_AFTER
from heaterapp.web import serving, settings
from tests.web.dying import dies

START = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


class Clock:
    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def later(self, **ahead: float) -> None:
        self.now += timedelta(**ahead)


@pytest.fixture
def clock(store: Any) -> Clock:
    store.database.clock = Clock()
    return store.database.clock


@pytest.fixture(autouse=True)
def here(request: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Make it in this process, with this clock; a process of its own has two tests alone."""

    def make(store: Any, plan: backing_up.Wanted, renew: Any) -> tuple[bool, str]:
        told: list[tuple[bool, str]] = []
        door = SimpleNamespace(send=told.append)
        kept = SimpleNamespace(backups=store.backups, close=lambda: None)
        monkeypatch.setattr(backing_up, "open_store", lambda url, **more: kept)
        backing_up.work("", plan, door)
        return told[0]

    if "process_of_its_own" not in request.node.name:
        monkeypatch.setattr(os, "nice", lambda by: None)
        monkeypatch.setattr(signal, "signal", lambda number, way: None)
        monkeypatch.setattr(backing_up, "make", make)


@pytest.fixture
def plan(app: Any, tmp_path: Path) -> backing_up.Wanted:
    app.config["BACKUPS"] = str(tmp_path / "backups")
    found = backing_up.wanted(app.config)
    assert found == (tmp_path / "backups", 24, 14, tmp_path / "data" / "secret-key", None, None)
    return found


def test_without_a_folder_the_page_says_that_none_are_made(visit: Any) -> None:
    page = visit("owner").get("/office/backups").text
    assert "so none is made by itself" in page
    assert "HEATERAPP_BACKUPS" in page
    assert "Back up now" not in page
    assert visit("owner").post("/office/backups").status_code == 404


@pytest.mark.parametrize("role", ["installer", "office"])
def test_only_the_owner_sees_and_makes_backups(visit: Any, plan: Any, role: str) -> None:
    assert visit(role).get("/office/backups").status_code == 403
    assert visit(role).post("/office/backups").status_code == 403
    assert not plan.folder.exists()


def test_the_button_makes_one_and_the_page_shows_it(visit: Any, plan: Any, issue: Any) -> None:
    issue()
    owner = visit("owner")
    assert "None yet" in owner.get("/office/backups").text
    sent = owner.post("/office/backups")
    assert (sent.status_code, sent.location) == (303, "/office/backups?said=begun")
    for thread in [one for one in threading.enumerate() if one.name == "backup"]:
        thread.join(30)
    page = owner.get("/office/backups?said=begun").text
    made = backups.listed(plan.folder)[0]
    assert made.path.name in page
    assert "1 record, " in page
    assert f'datetime="{made.made_at}"' in page
    assert "None yet" not in page
    assert "being made now" not in page


def test_the_button_begins_no_second_one(visit: Any, plan: Any, store: Any) -> None:
    assert store.backups.timetable.claim()
    assert visit("owner").post("/office/backups").location == "/office/backups?said=busy"
    page = visit("owner").get("/office/backups?said=busy").text
    assert "is being made already" in page
    assert "being made now" in page
    assert not plan.folder.exists()


def test_one_is_due_at_once_then_after_the_interval(store: Any, plan: Any, clock: Clock) -> None:
    assert backing_up.run_if_due(store, plan) is True
    assert backing_up.run_if_due(store, plan) is None
    clock.later(hours=23, minutes=59)
    assert backing_up.run_if_due(store, plan) is None
    clock.later(minutes=1)
    assert backing_up.run_if_due(store, plan) is True
    assert len(backups.listed(plan.folder)) == 2


def test_a_failure_is_told_in_red_and_tried_again_after_an_hour(
    store: Any, plan: Any, clock: Clock, visit: Any, capsys: Any
) -> None:
    plan.folder.write_text("a file where the folder should be")
    assert backing_up.run_if_due(store, plan) is False
    assert f"No backup was made in {plan.folder}. What stood in the way: " in capsys.readouterr().err
    page = visit("owner").get("/office/backups").text
    told = re.search(
        r'<p class="late">Failed <time datetime="2026-03-14T12:00:00Z">.*</time>: (.*)</p>', page
    )
    assert told
    assert told[1].startswith(f"No backup was made in {plan.folder}. What stood in the way: ")
    clock.later(minutes=59)
    assert backing_up.run_if_due(store, plan) is None
    clock.later(minutes=1)
    plan.folder.unlink()
    assert backing_up.run_if_due(store, plan) is True
    assert 'class="late"' not in visit("owner").get("/office/backups").text


def test_what_is_late_is_said_on_the_page_among_the_records_and_at_the_start(
    store: Any, plan: Any, clock: Clock, visit: Any, app: Any
) -> None:
    backing_up.run_if_due(store, plan)
    said = 'The last good backup is too old: it was made <time datetime="2026-03-14T12:00:00Z">'
    clock.later(hours=48)
    for role, path in (("owner", "/office/backups"), ("office", "/office")):
        assert said not in visit(role).get(path).text
    clock.later(seconds=1)
    for role, path in (("owner", "/office/backups"), ("office", "/office"), ("owner", "/office")):
        assert said in visit(role).get(path).text
    plain = "The last good backup is too old: it was made 2026-03-14 12:00 UTC."
    assert str(backing_up.warning(store, app.config)) == plain
    assert "Look at the backups" not in visit("office").get("/office").text
    assert "Look at the backups" in visit("owner").get("/office").text
    app.config["BACKUPS"] = None
    assert said not in visit("office").get("/office").text


def test_of_many_at_once_one_makes_it(store: Any, plan: Any, clock: Clock, app: Any) -> None:
    other = archive.open_store(data_dir=app.config["DATA_DIR"], upgrade=False, clock=clock)
    begin, claims = threading.Barrier(8), []

    def claim(one: Any) -> None:
        begin.wait()
        claims.append(one.backups.timetable.claim(24))

    threads = [threading.Thread(target=claim, args=(one,)) for one in (store, other) * 4]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    other.close()
    assert len(claims) == 8
    assert len([token for token in claims if token]) == 1


@pytest.mark.parametrize("before", ["nothing", "one done", "one dead"])
def test_whoever_comes_between_another_s_look_and_claim_has_it(
    store: Any, plan: Any, clock: Clock, app: Any, monkeypatch: pytest.MonkeyPatch, before: str
) -> None:
    other = archive.open_store(data_dir=app.config["DATA_DIR"], upgrade=False, clock=clock)
    mine, theirs = store.backups.timetable, other.backups.timetable
    first = theirs.claim() if before != "nothing" else None
    if before == "one done":
        theirs.done(first, "heaterapp-20260314T120000Z 1 one")
    clock.later(hours=25)
    between: list[Any] = []

    def due(hours: int) -> bool:
        between.append(theirs.renew(first) if before == "one dead" else theirs.claim())
        return True

    monkeypatch.setattr(mine, "is_due", due)
    assert mine.claim(24) is None
    assert between[0]
    other.close()


def test_a_dead_claim_is_taken_over_and_a_living_one_is_not(store: Any, plan: Any, clock: Clock) -> None:
    timetable = store.backups.timetable
    dead = timetable.claim(24)
    clock.later(seconds=DEAD_AFTER.total_seconds())
    assert timetable.claim(24) is None
    assert timetable.renew(dead)
    clock.later(seconds=DEAD_AFTER.total_seconds())
    assert timetable.claim(24) is None
    clock.later(seconds=1)
    taken = timetable.claim(24)
    assert taken
    assert not timetable.renew(dead)
    timetable.done(dead, "heaterapp-20260314T120000Z 1 one")
    assert timetable.standing().running
    timetable.failed(taken, "a disk")
    assert timetable.standing().running is None


def test_a_process_of_its_own_makes_it_while_the_claim_is_renewed(
    store: Any, plan: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Which place for bodies is set is told to that process too: it is made when it is opened.
    plan = plan._replace(blobs=(plan.folder.parent / "blobs").as_uri())
    monkeypatch.setattr(backing_up, "RENEW_EVERY_S", 0.05)
    renewed: list[bool] = []
    usual = store.backups.timetable.renew
    monkeypatch.setattr(store.backups.timetable, "renew", lambda token: renewed.append(usual(token)))
    assert backing_up.run_if_due(store, plan) is True
    assert renewed
    assert all(renewed)
    assert (plan.folder.parent / "blobs").is_dir()
    made = backups.listed(plan.folder)
    assert store.backups.timetable.standing().good.said.split()[:2] == [made[0].path.name, str(made[0].size)]


def test_a_process_of_its_own_that_is_killed_is_a_failure_that_is_told(
    store: Any, plan: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(backing_up, "work", dies)
    assert backing_up.run_if_due(store, plan) is False
    assert "was ended before it was done" in store.backups.timetable.standing().failing.said


def test_the_rounds_make_one_and_end(store: Any, plan: Any) -> None:
    rounds = backing_up.Rounds(store, plan)
    ends = time.monotonic() + 30
    while not store.backups.timetable.standing().good and time.monotonic() < ends:
        time.sleep(0.02)
    rounds.end()
    assert len(backups.listed(plan.folder)) == 1
    assert not rounds._thread.is_alive()


@pytest.mark.parametrize(
    ("name", "said", "most"),
    [
        ("BACKUP_HOURS", "0", 168),
        ("BACKUP_HOURS", "169", 168),
        ("BACKUP_KEEP", "x", 9999),
        ("BACKUP_KEEP", "0", 9999),
    ],
)
def test_a_setting_that_cannot_be_is_named(name: str, said: str, most: int) -> None:
    with pytest.raises(
        settings.SettingWrong, match=f"HEATERAPP_{name} is '{said}'; a whole number from 1 to {most}"
    ):
        settings.settled({}, {f"HEATERAPP_{name}": said})
    assert settings.settled({}, {f"HEATERAPP_{name}": str(most)})[name] == most


def test_the_server_says_at_its_start_that_backups_are_late(
    store: Any, plan: Any, clock: Clock, app: Any, capsys: Any
) -> None:
    backing_up.run_if_due(store, plan)
    clock.later(hours=49)
    rounds = serving._back_up(app, store)
    rounds.end()
    assert (
        "Backup: The last good backup is too old: it was made 2026-03-14 12:00 UTC."
        in capsys.readouterr().err
    )
    app.config["BACKUPS"] = ""
    assert serving._back_up(app, store) is None
    assert capsys.readouterr().err == ""
