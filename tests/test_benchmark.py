"""The benchmark runs, prints each promise beside its bar, and says so when one is missed."""

from __future__ import annotations

import json
import re
import sys
import time
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

import heaterapp
from heaterapp import benchmark, certificate, certificate_times, sample_photo, slowed_browser
from heaterapp.filling.signed import kind_for
from heaterapp.full_gas_job import arithmetic_alone, full_gas_job, gas_job
from heaterapp.rules import TOPICS, assess
from heaterapp.rules.units import rounded
from heaterapp.timing import Measured
from tests.web.conftest import job_answers

sample_photo_of = sample_photo.sample_photo
LINE = re.compile(r" [0-9.]+ (ms|x|[KM]B) +bar +[0-9.]+ \1 +(kept|MISSED)$")
SMALL = ["--rows", "300", "--rounds", "1", "--lines", "100"]


def once(_: int, works: dict[str, Callable[[], object]]) -> dict[str, float]:
    """What `in_turns` gives, of one turn."""
    took = {}
    for name, work in works.items():
        began = time.perf_counter()
        work()
        took[name] = time.perf_counter() - began
    return took


@pytest.mark.parametrize(("part", "promises"), [("assess", 2), ("lines", 2), ("page", 1), ("certificate", 8), ("search", 2), ("recheck", 2), ("shell", 1)])
def test_a_part_prints_its_promises_beside_their_bars(
    part: str, promises: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # How long it takes is not looked at: small photos, short papers, each once, and one press beside this process.
    monkeypatch.setattr(certificate_times, "gas_job", lambda: job_answers("electric_tankless_irc_2021"))
    monkeypatch.setattr(sample_photo, "sample_photo", lambda seed: sample_photo_of(seed, 320, 240))
    monkeypatch.setattr(certificate_times, "in_turns", once)
    monkeypatch.setattr(certificate, "render_files", certificate.render_here)
    status = benchmark.main([*SMALL, "--only", part])
    lines = capsys.readouterr().out.splitlines()
    measured = [LINE.search(line) for line in lines[:-1]]
    assert len(measured) == promises, lines
    assert all(measured), lines
    missed = any(found and found[2] == "MISSED" for found in measured)
    assert status == int(missed)
    assert lines[-1] == ("A bar is missed." if missed else "Every bar is kept.")


def test_as_json_it_gives_each_promise_with_its_bar(capsys: pytest.CaptureFixture[str]) -> None:
    assert benchmark.main([*SMALL, "--json", "--only", "assess"]) in (0, 1)
    told = json.loads(capsys.readouterr().out)
    assert [set(one) for one in told] == [{"name", "found", "bar", "unit", "kept"}] * 2
    assert all(one["found"] > 0 and one["kept"] == (one["found"] <= one["bar"]) for one in told)


def test_a_missed_bar_is_told_and_ends_the_command_with_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    slow = {"assess": lambda _: iter([Measured("too slow", 5.01, 5, "ms"), Measured("right", 5, 5, "ms")])}
    monkeypatch.setattr(benchmark, "PARTS", slow)
    assert benchmark.main(SMALL) == 1
    said = capsys.readouterr().out
    assert "too slow" in said
    assert said.count("MISSED") == 1
    assert said.count("kept") == 1


def test_a_part_that_is_not_installed_is_left_out_by_name(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def absent(_: Any) -> Any:
        raise ModuleNotFoundError("No module named 'weasyprint'", name="weasyprint")

    monkeypatch.setattr(benchmark, "PARTS", {"certificate": absent})
    assert benchmark.main(SMALL) == 0
    assert "certificate: left out, weasyprint is not installed" in capsys.readouterr().err


def test_without_reportlab_its_line_alone_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Parts of it that another test brought in would be found without it.
    for name in ("reportlab", *(one for one in sys.modules if one.startswith("reportlab."))):
        monkeypatch.setitem(sys.modules, name, None)
    monkeypatch.delitem(sys.modules, "heaterapp.reportlab_twin", raising=False)
    monkeypatch.delattr(heaterapp, "reportlab_twin", raising=False)
    assert certificate_times.twin_of(None) is None


@pytest.mark.parametrize("wrong", [["--rows", "1"], ["--rounds", "0"], ["--only", "nothing"], ["--rows", "x"]])
def test_sizes_that_make_no_sense_are_refused(wrong: list[str]) -> None:
    with pytest.raises(SystemExit) as refused:
        benchmark.main(wrong)
    assert refused.value.code == 2


def test_the_straight_arithmetic_is_the_arithmetic_of_the_report() -> None:
    job = full_gas_job()
    figures = assess(job).as_json()["figures"]
    worked = arithmetic_alone(job)()
    steps = Decimal(1), Decimal("0.1"), Decimal("0.01")
    shown = {rounded(value, step) for value in worked for step in steps}
    shown |= {rounded(value, step, up=True) for value in worked for step in steps}
    shown |= {rounded(value, step, down=True) for value in worked for step in steps}
    shown |= {rounded(value * 1000, Decimal(1), down=down) for value in worked for down in (False, True)}
    for name in (
        "strap_force_lb", "tipping_ratio", "connector_length_allowed_ft", "vent_area_ratio", "structural_force_lb", "lag_allowable_lb",
        "gas_pipe_capacity_btuh", "air_opening_needed_in2", "air_opening_there_in2", "vent_capacity_btuh",
        "other_connector_capacity_btuh", "common_vent_capacity_btuh",
    ):  # fmt: skip
        assert figures[name]["value"] in shown, name


def test_the_job_whose_paper_is_timed_gets_a_certificate() -> None:
    assert kind_for(gas_job(), assess(gas_job()).outcome) == "certificate"


def test_every_topic_of_a_gas_tank_is_judged_in_the_full_job() -> None:
    judged = {
        one.check.partition(".")[0] for one in assess(full_gas_job()).findings if one.verdict in ("meets", "fails")
    }
    assert judged == {topic for topic in TOPICS if topic != "pan"}
    assert {"gas.pipe_capacity", "venting.shared_capacity", "air.opening_position"} <= {
        one.check for one in assess(full_gas_job()).findings if one.verdict == "meets"
    }


@pytest.mark.parametrize(("missing", "named"), [("chromium", "chromium"), ("playwright", "playwright")])
def test_without_a_browser_the_phone_is_left_out_by_name(
    missing: str, named: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    if missing == "chromium":
        monkeypatch.setattr(slowed_browser, "CHROMIUM", "no-such-chromium")
        named = "no-such-chromium"
    else:
        monkeypatch.setitem(sys.modules, "playwright", None)
    assert benchmark.main([*SMALL, "--only", "phone"]) == 0
    assert f"phone: left out, {named} is not installed" in capsys.readouterr().err
