"""Sentences that a clerk stumbled over, and two small roughnesses of the server."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp import rechecking
from heaterapp.certificate import workers
from heaterapp.photo import darkroom
from heaterapp.web.act_words import told


@pytest.mark.parametrize(
    ("act", "body", "says"),
    [
        ("export", {"what": "month", "count": 0}, "took out the figures of a month"),
        ("export", {"what": "month", "count": 2}, "took out the figures of a month, with 2 addresses"),
        (
            "desk", {"changed": ["contractor_class", "flood_related", "job_value_usd", "permit_status", "odd_one"]},
            "changed a job at the desk (License class; Because of a flood; Value of the job, $; Permit; odd one)",
        ),
    ],
)  # fmt: skip
def test_the_log_says_things_as_the_forms_do(act: str, body: dict[str, Any], says: str) -> None:
    assert told(act, body, "") == says


def test_the_office_is_reached_with_a_slash_too(visit: Any) -> None:
    sent = visit("office").get("/office/?q=oak")
    assert (sent.status_code, sent.location) == (308, "/office?q=oak")
    assert visit("installer").get("/office/").status_code == 403


def test_a_record_says_what_its_long_number_is(visit: Any, issue: Any) -> None:
    opened = issue()
    page = visit("office").get(f"/office/records/{opened.number}").text
    assert f'as it is printed on the paper: <span class="code">{opened.content_digest}</span>' in page


class Shut:
    """A door that is closed from the other side with something unread in it."""

    def __init__(self) -> None:
        self.asked = 0

    def send(self, _: object) -> None:
        pass

    send_bytes = send

    def recv(self) -> None:
        self.asked += 1
        raise ConnectionResetError

    recv_bytes = recv


@pytest.mark.parametrize("life", [rechecking.serve, workers.serve, darkroom.serve])
def test_a_process_ends_quietly_when_its_door_is_closed(life: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("signal.signal", lambda *_: None)
    monkeypatch.setattr("gc.freeze", lambda: None)
    monkeypatch.setattr("heaterapp.rules.prepare", lambda: "digest")
    monkeypatch.setattr("heaterapp.certificate.press.warm_up", lambda: None)
    monkeypatch.setattr(darkroom, "_limited", lambda: None)
    door = Shut()
    life(door)
    assert door.asked == 1
