"""The papers can be read: nothing is set smaller than 7 pt, and a usual paper has room for a few more checks."""

from __future__ import annotations

import json

import pytest

from heaterapp.certificate import press
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed

SMALLEST_PT = 7
PX = 0.75
DRAWN_AT, DRAWING_WIDE = 13, 328
"""Lettering and width of the drawings in their own units; as in drawing.css and shapes.py."""


def _laid(record):
    return press._laid(paper_of(Filed.of(record)))


def _sizes(laid):
    """Size of every letter and drawing laid out, in points, with a word of it."""
    for page in laid.pages:
        for box in page._page_box.descendants():
            text = getattr(box, "text", "").strip()
            if text:
                yield float(box.style["font_size"]) * PX, text
            elif (box.element_tag or "").endswith("svg") and (box.element.get("class") or "").startswith("drawing"):
                yield DRAWN_AT * box.width * PX / DRAWING_WIDE, "drawing"


@pytest.mark.parametrize("name", ["gas_storage_us_ca", "electric_storage_irc", "gas_storage_to_fix"])
def test_nothing_is_set_smaller_than_seven_points(name, record_of):
    kind = "correction_list" if name.endswith("to_fix") else "certificate"
    found = list(_sizes(_laid(record_of(name, kind=kind))))
    assert len(found) > 200
    assert sum(text == "drawing" for _, text in found) == (2 if "electric" in name else 3)
    small = [(round(size, 2), text) for size, text in found if size < SMALLEST_PT - 0.01]
    assert not small


def test_ten_more_checks_still_make_two_pages(record_of, with_report):
    def more(report):
        met = [one for one in report["findings"] if one["verdict"] == "meets"]
        report["findings"] += [{**one, "check": f"{one['check']}_again"} for one in met[::8][:10]]

    record = record_of()
    before, after = len(json.loads(record.report)["findings"]), with_report(record, more)
    assert len(json.loads(after.report)["findings"]) == before + 10
    assert len(_laid(after).pages) == 2


def test_a_wordier_paper_goes_on_to_a_third_page_and_loses_nothing(record_of, with_report):
    def more(report):
        met = [one for one in report["findings"] if one["verdict"] == "meets"]
        report["findings"] += [{**one, "check": f"{one['check']}_again"} for one in met]

    laid = _laid(with_report(record_of(), more))
    assert len(laid.pages) > 2
    said = [text for _, text in _sizes(laid)]
    assert sum("again" in text for text in said) > 60
