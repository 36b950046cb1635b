"""Found and asked in an inspector's words, in both languages, and only words that a check really says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from heaterapp.languages import speaking
from heaterapp.rules.catalog import all_checks
from heaterapp.sheet.bounds import bound_of, found_words
from heaterapp.sheet.findings import limit_words, side_by_side
from heaterapp.sheet.phrases import ASKED, ASKED_AS, FOUND, ONE_OF

CHECKS = Path(__file__).parent.parent / "heaterapp" / "rules" / "checks"
ROOM = {"check": "place.room_allowed", "kind": "rule", "found": "attic", "limit": "not a bedroom or bathroom", "unit": ""}
PERMIT = {
    "check": "paperwork.permit", "kind": "rule", "found": "20261902", "limit": "issued or applied for", "unit": "",
    "why": "Permit issued: 20261902.", "verdict": "meets",
}  # fmt: skip


@pytest.mark.parametrize(
    ("finding", "language", "told"),
    [
        (ROOM, "en", "found attic, required not in a bedroom or bathroom"),
        (ROOM, "es", "hallado ático, exigido no en un dormitorio ni en un baño"),
        (PERMIT, "en", "found issued, 20261902, required issued or applied for"),
        (PERMIT, "es", "hallado emitido, 20261902, exigido emitido o solicitado"),
        ({**PERMIT, "found": "applied for", "why": "Permit applied for."}, "en", "found applied for, required issued or applied for"),
        ({**ROOM, "check": "pan.material", "found": "plastic", "limit": "copper, PEX, aluminum"}, "es", "hallado plástico, exigido cobre, PEX o aluminio"),
        ({**ROOM, "check": "relief.valve_near_top", "found": "lower", "limit": "top 6 in"}, "en", "found lower down, required in the top 6 in"),
        ({**ROOM, "check": "seismic.gap_blocked", "kind": "advice", "found": "blocked", "limit": "2 in, or blocked"}, "en", "found blocked, advised a gap of at most 2 in, or blocked"),
    ],
)
def test_what_is_asked_is_said_as_an_inspector_writes_it(finding: dict[str, str], language: str, told: str) -> None:
    with speaking(language):
        assert side_by_side(finding) == told


def test_a_number_that_has_a_limit_keeps_it_and_no_limit_has_no_word() -> None:
    gap = {"check": "seismic.gap_blocked", "kind": "rule", "found": "1", "limit": "2", "unit": "in", "verdict": "meets"}
    assert (found_words(gap), limit_words(gap)) == (("1 in", "2 in"), "at most 2 in")
    assert bound_of({**ROOM, "limit": None}) == ""


def test_every_phrase_is_of_words_that_its_check_has() -> None:
    assert {*FOUND, *ASKED, *ASKED_AS, *ONE_OF} <= {one.name for one in all_checks()}
    for table in (FOUND, ASKED):
        for check, words in table.items():
            folder = CHECKS / check.partition(".")[0]
            source = "".join(one.read_text() for one in folder.glob("*.py"))
            said = re.sub(r"_", " ", source)
            missing = [one for one in words if one not in said and one not in ("passed", "failed", "none", "yes", "no", "other")]
            assert not missing, (check, missing)
