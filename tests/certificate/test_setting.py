"""A paper is set at once: what is reckoned of its height is what the renderer then lays out."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from weasyprint.formatting_structure import boxes

from heaterapp.certificate import press
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.parts import heights
from heaterapp.certificate.setting import LEAST, MOST, Setting, settings
from heaterapp.certificate.white import _foot, white
from heaterapp.certificate.wrapping import PAGE, lines

PT = 0.75
SLACK_PT, WHITEST = 14, 0.2


def parts_laid(laid: Any) -> Counter[str]:
    """How high each section is on the pages together [pt]."""
    found: Counter[str] = Counter()
    for page in laid.pages:
        (html,) = [one for one in page._page_box.children if not isinstance(one, boxes.MarginBox)]
        for part in html.children[0].children:
            found[(part.element.get("class") or part.element.tag).split()[0]] += part.margin_height() * PT
    return found


@pytest.mark.parametrize(
    ("job", "type_"), [("electric_storage_irc", "close"), ("electric_tankless_irc_2021", "ample")]
)
def test_a_usual_paper_is_laid_out_once_as_reckoned_and_fills_its_pages(
    job: str, type_: str, record_of: Any, monkeypatch: Any
) -> None:
    paper, tried, real = paper_of(Filed.of(record_of(job))), [], press.html_of

    def noted(given: Any, setting: Setting) -> str:
        tried.append(setting)
        return real(given, setting)

    monkeypatch.setattr(press, "html_of", noted)
    laid = press._laid(paper)
    (setting,) = tried
    assert setting.name == type_
    assert len(laid.pages) == 2
    assert white(laid) * PT < WHITEST * PAGE[paper.page_size]
    found, reckoned = parts_laid(laid), heights(paper, setting.name, setting.drawn)
    assert -SLACK_PT / 4 < reckoned.figures.at(setting.leading) - found["figures"] < 2 * SLACK_PT
    assert found["end"] == pytest.approx(reckoned.end.at(1), abs=SLACK_PT)
    stands = sum(PAGE[paper.page_size] - _foot(page._page_box) * PT for page in laid.pages)
    both = reckoned.first.plus(reckoned.end).at(setting.leading) + reckoned.listed.at(setting.listed)
    assert stands == pytest.approx(both, rel=0.035)


def test_the_more_is_said_the_smaller_and_closer_it_is_set_and_a_long_paper_goes_on(record_of: Any) -> None:
    usual = paper_of(Filed.of(record_of("gas_tankless_ipc_2021")))
    names, took = list(LEAST), []
    for more in range(0, 2 * len(usual.met) + 1, 2):
        first = next(settings(replace(usual, met=(usual.met * 3)[: len(usual.met) + more])))
        if not first.long:
            assert LEAST[first.name] <= min(first.leading, first.listed) <= MOST
            took.append(names.index(first.name))
    assert took == sorted(took)
    assert len(set(took)) >= 3
    assert first.long
    assert first.rows
    assert next(settings(replace(usual, opens=usual.opens * 20))).long


def test_lines_are_counted_by_words_as_wide_as_the_face_has_them() -> None:
    assert lines("", 8, 100) == 1
    assert lines("word " * 10, 8, 1000) == 1
    assert lines("word " * 10, 8, 20) == 10
    assert lines("word", 8, 100, begun=95) == 2
    assert lines("W" * 60, 8, 100) == 5 > lines("i" * 60, 8, 100)
    # The box of a letter that no face has is as wide in any size, and a line may end beside it.
    assert [lines("\U0001f600" * 12, size, 100) for size in (7, 9.5)] == [3, 3]
    assert lines("Oak\U0001f600", 8, 30) == 2 > lines("Oak\U0001f600", 8, 45)
