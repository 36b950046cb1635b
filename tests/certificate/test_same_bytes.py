"""The same record gives the same bytes: in other processes, under other hash seeds, in the worker."""

from __future__ import annotations

import base64
import hashlib
import os
import pickle
import subprocess
import sys
import threading
import time

import pytest

from heaterapp.certificate import (
    NotReady,
    RenderFailed,
    Translated,
    render_files,
    render_here,
    shutdown,
    translated,
    warm,
    workers,
)
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.release import ELSEWHERE, PACKAGE

SCRIPT = (
    "import base64, hashlib, pickle, sys; from heaterapp.certificate import render_here\n"
    "filed = pickle.loads(base64.b64decode(sys.stdin.read()))\n"
    "made = render_here(filed)\n"
    "[print(name, hashlib.sha256(pdf).hexdigest()) for name, pdf in made.items()]"
)
IN_SPANISH = SCRIPT.replace("made = ", "from heaterapp.certificate.translated import Translated, pressed\n"
                            "made = pressed(Translated(filed, 'es')) | ")  # fmt: skip


def _lines(made):
    return [f"{name} {hashlib.sha256(pdf).hexdigest()}" for name, pdf in made.items()]


def test_a_process_with_another_hash_seed_gives_these_bytes(record_of, gas):
    filed = Filed.of(record_of())
    handed = base64.b64encode(pickle.dumps(filed)).decode()
    told = _lines(translated.pressed(Translated(filed, "es")) | gas)
    # This process has a seed of its own: `two_homes.py` tries two others, and other users and places.
    run = subprocess.run(
        [sys.executable, "-c", IN_SPANISH], input=handed, capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONHASHSEED": "4242", "TZ": "Asia/Tokyo"},
    )  # fmt: skip
    assert run.stdout.split("\n")[:-1] == told


def test_another_record_gives_other_bytes_and_another_identifier(record_of, gas):
    other = render_here(record_of(number="C-000013", content_digest="00" * 32))
    assert not set(_lines(gas)) & set(_lines(other))


@pytest.fixture(scope="module")
def shop():
    warm()
    yield workers._shop
    shutdown()


def test_the_worker_gives_these_bytes(shop, record_of, gas):
    assert render_files(record_of()) == gas


@pytest.fixture(scope="module")
def small(record_of, with_report):
    """A record with hardly anything on its paper, and its files: a worker makes it in no time."""
    def bare(report):
        report.update(findings=report["findings"][:2], figures={}, flags=[], assumed={})

    record = with_report(record_of("electric_tankless_irc_2021"), bare)
    return record, render_here(record)


def test_threads_share_the_workers(shop, small):
    made, (record, files) = [], small
    threads = [threading.Thread(target=lambda: made.append(render_files(record))) for _ in range(4)]
    [one.start() for one in threads]
    [one.join() for one in threads]
    assert made == [files] * 4
    assert len(shop._started) <= workers.MOST_WORKERS


def test_a_killed_worker_is_replaced(shop, small):
    record, files = small
    warm()
    for one in list(shop._started):
        one.process.kill()
    time.sleep(0.05)
    assert render_files(record) == files


def test_a_worker_killed_while_it_works_is_tried_again(shop, record_of, gas):
    warm()
    timers = [threading.Timer(0.1, one.process.kill) for one in list(shop._started)]
    [one.start() for one in timers]
    assert render_files(record_of()) == gas
    [one.join() for one in timers]


def test_a_worker_that_dies_twice_is_said(record_of, monkeypatch):
    class Dying:
        alive = True

        def press(self, filed, seconds):
            raise workers.Died

        def stop(self):
            pass

    monkeypatch.setattr(workers, "Worker", Dying)
    fresh = workers._Shop()
    with pytest.raises(RenderFailed, match="died 2 times"):
        fresh.press(Filed.of(record_of()), 1)
    assert not fresh._started


def test_a_worker_whose_answer_was_not_taken_serves_no_other_record(record_of, monkeypatch):
    class Interrupted:
        alive = True
        stopped = 0

        def press(self, filed, seconds):
            raise KeyboardInterrupt

        def stop(self):
            Interrupted.stopped += 1

    monkeypatch.setattr(workers, "Worker", Interrupted)
    fresh = workers._Shop()
    for _ in range(workers.MOST_WORKERS + 1):
        with pytest.raises(KeyboardInterrupt):
            fresh.press(Filed.of(record_of()), 1)
    assert Interrupted.stopped == workers.MOST_WORKERS + 1
    assert not fresh._started


def test_too_long_is_said_and_the_worker_stopped(shop, record_of, small):
    record, files = small
    with pytest.raises(RenderFailed, match="within 0"):
        render_files(record_of(), seconds=0.001)
    assert render_files(record) == files


def test_what_breaks_in_the_worker_is_told(shop, record_of):
    with pytest.raises(RenderFailed, match="ValueError"):
        render_files(record_of(issued_at="yesterday"))


def test_no_certificate_is_refused_before_any_worker(record_of, with_report, monkeypatch):
    monkeypatch.setattr(workers, "_shop", None)
    with pytest.raises(NotReady):
        render_files(with_report(record_of(), lambda report: report.update(outcome="fix")))


def test_the_release_covers_every_module_that_papers_are_made_with():
    told = "import sys, heaterapp.certificate.press; print(*(getattr(one, '__file__', '') for one in list(sys.modules.values())), sep=chr(10))"
    loaded = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True, cwd=PACKAGE.parent).stdout.split()
    own = {path.removeprefix(f"{PACKAGE}/") for path in loaded if path.startswith(f"{PACKAGE}/")}
    apart = {"__init__.py", "crew.py", "filling/__init__.py"}
    elsewhere = {path for path in own - apart if path.partition("/")[0] not in ("certificate", "sheet", "rules")}
    assert elsewhere == set(ELSEWHERE)
