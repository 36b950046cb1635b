"""The printed sheet's letters: the largest with which it keeps to one page, and a class for each size."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from heaterapp import homeowner
from heaterapp.certificate.style import home
from heaterapp.fonts import FontMissing
from heaterapp.web import sheet_type
from heaterapp.web.sheet_type import LEAVES, SIZES, Piece, columns_filled, fits, sheet_classes
from tests.homeowner.records import known, of_job

CLASSES = re.compile(r"sheet sheet-([0-9]+) sheet-a4-([0-9]+)( sheet-torn)?\Z")


def told_of(job: str, language: str = "en") -> homeowner.Page:
    return homeowner.page_of(known(of_job(job)), language)


def sizes_of(told: homeowner.Page) -> tuple[tuple[float, ...], bool]:
    found = CLASSES.fullmatch(sheet_classes(told))
    assert found
    return tuple(int(one) / 10 for one in found.groups()[:2]), bool(found[3])


def test_every_size_has_a_class_for_letter_and_for_a4() -> None:
    css = (home("static") / "share-sizes.css").read_text(encoding="utf-8")
    letter, a4 = css.split("@media print and (max-aspect-ratio")
    for begins, part in (("sheet", letter), ("sheet-a4", a4)):
        found = re.findall(rf"\.{begins}-([0-9]+) \{{\s*font-size: ([0-9.]+)pt;", part)
        assert [(int(name), float(size)) for name, size in found] == [(round(10 * one), one) for one in SIZES]


@pytest.mark.parametrize(
    ("job", "language", "least"),
    [
        ("electric_tankless_irc_2021", "en", 11),
        ("gas_storage_us_ca", "es", 8.5),
        ("gas_storage_to_fix", "en", 8.5),
    ],
)
def test_letters_are_as_large_as_a_page_holds(job: str, language: str, least: float) -> None:
    told = told_of(job, language)
    sizes, torn = sizes_of(told)
    for size, leaf in zip(sizes, LEAVES, strict=True):
        assert size >= least
        assert fits(told, size, leaf, torn)
        assert size == SIZES[-1] or not fits(told, SIZES[SIZES.index(size) + 1], leaf, torn)


def test_who_says_more_is_set_smaller_and_torn_before_that_never_below_the_smallest() -> None:
    told = told_of("gas_storage_us_ca")
    (few, whole), (more, torn), (most, _) = (
        sizes_of(replace(told, signs=told.signs * many)) for many in (1, 3, 30)
    )
    assert min(few) > max(more) > max(most) == SIZES[0]
    assert (whole, torn) == (False, True)


def test_columns_keep_what_stands_together() -> None:
    assert columns_filled([Piece(40.0)] * 6, 80.0) == 3
    assert columns_filled([Piece(40.0, True), Piece(40.0)] * 3, 100.0) == 3
    assert columns_filled([Piece(40.0), Piece(40.0, True), Piece(40.0)], 80.0) == 2
    assert columns_filled([Piece(90.0)], 80.0) > 3


def test_without_a_face_to_measure_the_page_is_given_all_the_same(monkeypatch: Any) -> None:
    def missing(*_: Any) -> int:
        raise FontMissing("no face")

    monkeypatch.setattr(sheet_type, "_lines", missing)
    assert sheet_classes(told_of("gas_storage_us_ca")) == "sheet sheet-78 sheet-a4-78 sheet-torn"
