"""The benchmark runs and says a figure and its bar for each promise; it times nothing here."""

from __future__ import annotations

import json

import pytest

from heaterapp import benchmark


def test_every_promise_so_far_has_a_figure_and_a_bar(capsys: pytest.CaptureFixture[str]) -> None:
    assert benchmark.main(["--rounds", "1", "--rows", "500", "--json"]) in (0, 1)
    told = json.loads(capsys.readouterr().out)
    assert len(told) == 7
    assert all(one["value"] > 0 and one["bar"] > 0 for one in told)


def test_a_missed_bar_is_not_held() -> None:
    assert not benchmark.Measured("slow", 2.0, 1.0, "x").held
    assert benchmark.Measured("at its bar", 1.0, 1.0, "x").held
