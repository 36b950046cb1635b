"""Where room is short a row runs on, and the head's columns share their width: only where that saves a line."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.paper import Paper
from heaterapp.certificate.party_columns import BESIDE, parties_high, party_columns
from heaterapp.certificate.wrapping import WIDE, check_lines, check_runs, figure_lines, figure_runs, type_of


@pytest.fixture(scope="module")
def paper(record_of: Any) -> Paper:
    return paper_of(Filed.of(record_of()))


def test_a_row_runs_on_only_where_that_saves_a_line(paper: Paper) -> None:
    apart, along = type_of("close", "letter"), type_of("close run-in", "letter")
    for one in (check for topic in paper.met for check in topic.checks):
        assert check_runs(one, along) == (check_lines(one, along) < check_lines(one, apart))
        assert not check_runs(one, apart)
    for figure in paper.figures:
        fewer = figure_lines(figure, along, True) < figure_lines(figure, apart, True)
        assert figure_runs(figure, along, True) == fewer
    runs = [check_runs(one, along) for topic in paper.met for one in topic.checks]
    assert 3 < sum(runs) < len(runs) / 3


def test_columns_of_the_head_share_their_width_where_a_line_is_saved(paper: Paper) -> None:
    type_ = type_of("close", "letter")
    parties = list(paper.parties)
    wordy = (*parties[2].lines, "Gas tank with a long name of its kind, 40 gal, 40,000 Btu/h")
    parties[2] = replace(parties[2], lines=wordy)
    alike = (WIDE["letter"] / 4 - BESIDE,) * 4
    found = party_columns(tuple(parties), type_)
    assert parties_high(tuple(parties), type_, found) < parties_high(tuple(parties), type_, alike)
    assert found[2] > found[0]
    assert sum(found) + 4 * BESIDE <= WIDE["letter"] + 0.5
    assert party_columns(tuple(parties), type_of("roomy", "letter")) == pytest.approx(alike, abs=0.1)
    assert party_columns((), type_) == ()
