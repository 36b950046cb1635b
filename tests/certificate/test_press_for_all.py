"""Two presses: what strangers and mails ask for has one at most, and nobody waits behind it who issues."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from heaterapp.certificate import Filed, PressAway, PressBusy, Translated, workers
from heaterapp.crew import NoTurn, Turns


class Slow:
    """A press that works until it is let go."""

    alive = True

    def __init__(self) -> None:
        self.begun, self.done = threading.Event(), threading.Event()

    def press(self, wanted: Any, seconds: float) -> tuple[str, dict[str, bytes]]:
        self.begun.set()
        assert self.done.wait(20)
        return "made", {getattr(wanted, "name", "certificate.pdf"): b"%PDF"}

    def stop(self) -> None:
        self.done.set()


@pytest.fixture
def shop(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """A shop with presses that are slow, in the order in which they were begun with."""
    made = workers._Shop()
    made.slow = []  # type: ignore[attr-defined]

    def start() -> Slow:
        made.slow.append(Slow())  # type: ignore[attr-defined]
        return made.slow[-1]  # type: ignore[attr-defined]

    monkeypatch.setattr(made, "_start", start)
    monkeypatch.setattr(workers, "_shop", made)
    monkeypatch.setattr(workers, "LINK_WAITS_S", 0.05)
    monkeypatch.setattr(workers, "MAIL_WAITS_S", 20)
    yield made
    made.close()


@contextmanager
def at_work(*wants: Any) -> Iterator[list[threading.Thread]]:
    threads = [threading.Thread(target=one, daemon=True) for one in wants]
    for one in threads:
        one.start()
    yield threads
    for one in threads:
        one.join(20)


def until(true: Any) -> None:
    for _ in range(2000):
        if true():
            return
        time.sleep(0.005)
    raise AssertionError("it never came to that")


def test_who_issues_waits_for_no_stranger(shop: Any, record_of: Any) -> None:
    filed = Filed.of(record_of())
    spanish = Translated(filed, "es")
    told: list[bytes] = []
    with at_work(lambda: told.append(workers.render_for_link(spanish))):
        until(lambda: shop.slow and shop.slow[0].begun.is_set())
        with pytest.raises(PressBusy, match="other papers are being made just now"):
            workers.render_for_link(spanish)
        assert len(shop.slow) == 1, "the other press was left alone"
        with at_work(lambda: told.append(workers.render_files(filed)["certificate.pdf"])):
            until(lambda: len(shop.slow) == 2 and shop.slow[1].begun.is_set())
            shop.slow[1].done.set()
        assert told == [b"%PDF"], "issued, while the stranger's is still being made"
        with at_work(lambda: told.append(workers.render_for_mail(spanish))):
            until(lambda: shop._besides._here == 2)
            time.sleep(2 * workers.LINK_WAITS_S)
            shop.slow[0].done.set()
        assert len(told) == 3, "a mail waits for its turn"
    assert workers.render_for_link(spanish) == b"%PDF", "and the next stranger has it at once"


def test_few_strangers_wait_so_that_the_server_s_threads_are_free(
    shop: Any, record_of: Any, monkeypatch: Any
) -> None:
    spanish = Translated(Filed.of(record_of()), "es")
    monkeypatch.setattr(workers, "LINK_WAITS_S", 20)
    told: list[bytes] = []
    ask = [lambda: told.append(workers.render_for_link(spanish))] * (workers.BEHIND + 1)
    with at_work(*ask):
        until(lambda: shop._besides._here == workers.BEHIND + 1)
        with pytest.raises(PressBusy):
            workers.render_for_link(spanish)
        shop.slow[0].done.set()
    assert told == [b"%PDF"] * 3


@pytest.mark.parametrize("behind", [None, 0])
def test_a_turn_is_given_back_whatever_happens_in_it(behind: int | None) -> None:
    turns = Turns()
    for _ in range(2):
        with pytest.raises(ZeroDivisionError), turns.turn(0.01, behind):
            raise ZeroDivisionError
    with turns.turn(0.01, behind), pytest.raises(NoTurn), turns.turn(0.01, behind):
        pass
    with turns.turn(0.01, behind):
        pass


def test_a_press_that_dies_or_takes_too_long_is_away_and_the_paper_is_not_at_fault(
    shop: Any, record_of: Any
) -> None:
    spanish = Translated(Filed.of(record_of()), "es")

    def dies(self: Any, wanted: Any, seconds: float) -> Any:
        raise workers.Died

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Slow, "press", dies)
        with pytest.raises(PressAway, match="died 2 times") as died:
            workers.render_for_mail(spanish)
    assert not isinstance(died.value, PressBusy)
    late = object.__new__(workers.Worker)
    late._door, late.stop = type("Door", (), {"poll": lambda self, seconds: False})(), lambda: None  # type: ignore
    with pytest.raises(PressAway, match="not made within 1 s"):
        late._answer(1)
