"""The process that opens photos: its bounds, its death, and that a bad photo leaves the next one alone."""

import os
import resource
import signal
import subprocess
import sys
import time
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from heaterapp.photo import DarkroomFailed, NotAPhoto, darkroom, tidied
from heaterapp.photo.bare import orientation
from tests.photo.hostile import hostile, scans

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture(scope="module", autouse=True)
def _fresh():
    darkroom.shutdown()
    yield
    darkroom.shutdown()


@pytest.fixture
def alone():
    """No process from before this test, and none of its own after it: it is of another kind."""
    darkroom.shutdown()
    yield
    darkroom.shutdown()


def photo(size=(200, 100)):
    out = BytesIO()
    Image.new("RGB", size, (200, 30, 30)).save(out, "JPEG")
    return out.getvalue()


def the_process():
    (worker,) = darkroom._darkroom._started
    return worker.process


def test_the_process_is_used_again_for_the_next_photo_and_after_a_refusal():
    tidied(photo())
    first = the_process().pid
    with pytest.raises(NotAPhoto):
        tidied(photo()[:300])
    tidied(photo())
    assert the_process().pid == first


def test_the_process_may_hold_no_more_than_300_mb_and_write_no_file():
    tidied(photo())
    pid = the_process().pid
    assert resource.prlimit(pid, resource.RLIMIT_AS) == (300_000_000, 300_000_000)
    assert resource.prlimit(pid, resource.RLIMIT_FSIZE) == (0, 0)
    assert resource.prlimit(pid, resource.RLIMIT_CORE) == (0, 0)


def test_a_process_that_was_killed_is_replaced_and_nobody_notices():
    tidied(photo())
    first = the_process().pid
    os.kill(first, signal.SIGKILL)
    assert tidied(photo()).width == 200
    assert the_process().pid != first


def test_a_photo_that_kills_its_process_twice_is_damaged(alone, monkeypatch):
    class Falling(darkroom.Worker):
        def develop(self, body):
            os.kill(self.process.pid, signal.SIGKILL)
            self.process.join()
            return super().develop(body)

    monkeypatch.setattr(darkroom, "Worker", Falling)
    with pytest.raises(NotAPhoto, match="Take it again") as refused:
        tidied(photo())
    assert refused.value.code == "damaged"
    monkeypatch.undo()
    assert tidied(photo()).width == 200


def test_a_photo_that_takes_too_long_is_refused_and_its_process_killed(monkeypatch):
    monkeypatch.setattr(darkroom, "SECONDS", 0.3)
    monkeypatch.setattr(darkroom.Worker, "_worked", lambda self: time.monotonic())  # however busy the machine is
    tidied(photo())
    slow = the_process()

    class Largest:
        @staticmethod
        def choice(of):
            return of[-1]

    with pytest.raises(NotAPhoto, match="too long") as refused:
        tidied(scans(Largest))
    assert refused.value.code == "too_large"
    assert not slow.is_alive()
    assert tidied(photo()).width == 200


def test_on_a_machine_that_has_no_time_for_it_the_photo_is_not_blamed(monkeypatch):
    monkeypatch.setattr(darkroom, "SECONDS", 0.4)
    tidied(photo())
    starved = the_process()
    os.kill(starved.pid, signal.SIGSTOP)
    with pytest.raises(DarkroomFailed, match="too busy"):
        tidied(photo())
    assert not starved.is_alive()
    assert tidied(photo()).width == 200


def test_a_photo_too_large_for_the_process_is_refused_in_words():
    out = BytesIO()
    Image.new("RGBA", (25_000_000, 1)).save(out, "PNG")
    with pytest.raises(NotAPhoto) as refused:
        tidied(out.getvalue())
    assert refused.value.code == "too_large"
    assert tidied(photo()).width == 200


def test_where_the_process_cannot_start_the_photo_is_not_blamed(alone, monkeypatch):
    class Mute(darkroom.Worker):
        def _answer(self, seconds):
            return darkroom.BROKEN + b"ImportError: no such library"

    monkeypatch.setattr(darkroom, "Worker", Mute)
    with pytest.raises(DarkroomFailed, match="no such library"):
        tidied(photo())


@pytest.mark.parametrize("answer", [b"", b"not a photo", photo((1700, 10))])
def test_an_answer_that_is_no_small_photo_is_never_handed_on(alone, answer, monkeypatch):
    class Lying(darkroom.Worker):
        def develop(self, body):
            return darkroom.MADE + answer

    monkeypatch.setattr(darkroom, "Worker", Lying)
    with pytest.raises(DarkroomFailed):
        tidied(photo())


def test_examples_in_the_docstrings():
    assert orientation(bytes.fromhex("4d4d002a0000000800010112000300000001000600000000")) == 6


def test_a_hostile_photo_is_the_same_for_the_same_seed():
    assert hostile(7) == hostile(7)
    assert len({hostile(seed)[1] for seed in range(50)}) > 45


@pytest.mark.soak
def test_hostile_photos_break_stall_and_fill_nothing():
    program = [sys.executable, "tests/photo/hostile.py", "120", "--seed", "3"]
    done = subprocess.run(program, capture_output=True, text=True, timeout=120, cwd=ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "120 hostile photos" in done.stdout
    assert done.stdout.endswith("faults: 0\n")
