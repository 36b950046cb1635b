"""A mark with digits typed into the search box, as a job's reference: its letters count."""

import pytest

from heaterapp.archive import Facts
from heaterapp.archive.words import Word, loosened, typed_words


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("PL-2026", [Word("pl2026", True)]),
        ("C-123", [Word("c", False, True), Word("123", True)]),
        ("LW-40N", [Word("lw", True), Word("40n", True)]),
        ("2026-0034", [Word("2026", False), Word("0034", True)]),
        ("12 n oak", [Word("12", False), Word("n", False), Word("oak", True)]),
    ],
)
def test_what_is_meant(typed, words):
    assert typed_words(typed) == words
    if "-" in typed:
        assert loosened(words) == words


def test_a_reference_that_no_record_has_finds_nothing(store, firm):
    place = firm.issued(facts=Facts(address="5 Harbor Place", work_date="2026-03-14"), job_id=firm.new_job().id)
    permit = firm.issued(facts=Facts(address="9 Elm St", permit="PL-2026-014"), job_id=firm.new_job().id)
    assert [hit.record for hit in store.find(firm.id, "PL-2026").hits] == [permit.record]
    assert store.find(firm.id, "ZQ-2026").hits == ()
    short = "-".join((place.number[0], place.number[2:].lstrip("0")))
    assert place.record in [hit.record for hit in store.find(firm.id, short).hits]
