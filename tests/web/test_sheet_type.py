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
from heaterapp.web.sheet_type import LEAVES, SIZES, SPLIT, TORN, WHOLE, Piece, columns_filled, fits
from heaterapp.web.sheet_type import sheet_classes as classes_of
from tests.homeowner.records import known, of_job

CLASSES = re.compile(r"sheet sheet-([0-9]+) sheet-a4-([0-9]+)( sheet-torn)?( sheet-split)?( sheet-brief)?\Z")


def told_of(job: str, language: str = "en") -> homeowner.Page:
    return homeowner.page_of(known(of_job(job)), language)


def sizes_of(told: homeowner.Page) -> tuple[tuple[float, ...], bool]:
    found = CLASSES.fullmatch(classes_of(told))
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
    (few, whole), (more, _), (most, _) = (
        sizes_of(replace(told, signs=told.signs * many)) for many in (1, 3, 30)
    )
    assert min(few) > max(more) > max(most) == SIZES[0]
    _, torn = sizes_of(told_of("gas_storage_us_ca", "es"))
    assert (whole, torn) == (False, True)


def test_advice_stays_off_paper_only_where_a_page_does_not_hold_it() -> None:
    told = told_of("gas_storage_upc_2021")
    assert told.advised
    long = replace(told, advised=told.advised * 60)
    assert ("sheet-brief" in classes_of(told), "sheet-brief" in classes_of(long)) == (False, True)
    assert "sheet-brief" not in classes_of(replace(long, advised=()))


def test_the_table_of_care_stands_whole_and_splits_evenly_only_for_the_page_to_hold_all() -> None:
    told = told_of("gas_storage_us_ca", "es")
    assert classes_of(told).endswith(" sheet-torn"), "torn, and its table whole"
    table = {how: list(sheet_type.pieces(replace(told, care=(("a", "b"),) * 6), 9, 170, how)) for how in (WHOLE, TORN, SPLIT)}
    # Heads and two rows, two rows, heads and two rows, in place of one piece.
    assert len(table[SPLIT]) - len(table[TORN]) == 3
    at = next(at for at, pair in enumerate(zip(table[TORN], table[SPLIT], strict=False)) if pair[0] != pair[1])
    head, one, other, last = (piece.high for piece in table[SPLIT][at : at + 4])
    assert (one, last) == (other, head)
    assert table[TORN][at].high < head + one + other + last


def test_what_proves_the_paper_is_reckoned_with() -> None:
    told = told_of("gas_storage_us_ca")
    size, leaf = sizes_of(told)[0][0], LEAVES[0]
    assert fits(told, size, leaf, WHOLE)
    assert not fits(told, size, leaf, WHOLE, "To prove this paper: " * 60)


def test_columns_keep_what_stands_together() -> None:
    assert columns_filled([Piece(40.0)] * 6, 80.0) == 3
    assert columns_filled([Piece(40.0, True), Piece(40.0)] * 3, 100.0) == 3
    assert columns_filled([Piece(40.0), Piece(40.0, True), Piece(40.0)], 80.0) == 2
    assert columns_filled([Piece(90.0)], 80.0) > 3


def test_without_a_face_to_measure_the_page_is_given_all_the_same(monkeypatch: Any) -> None:
    def missing(*_: Any) -> int:
        raise FontMissing("no face")

    monkeypatch.setattr(sheet_type, "_lines", missing)
    assert classes_of(told_of("gas_storage_us_ca")) == "sheet sheet-78 sheet-a4-78 sheet-torn sheet-split"
