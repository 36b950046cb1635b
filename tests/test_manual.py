"""The rule manual is the rules themselves: every check, every clause in every place, and the 66 rows of the checklists."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

from heaterapp import manual
from heaterapp.manual import contents
from heaterapp.manual.compare import UnknownBook, book_names, compare
from heaterapp.manual.press import manual_pdf
from heaterapp.rules import CATALOGUE, book, catalog, place_names

ROOT = Path(__file__).parent.parent
PLACES = sorted(set(place_names().values()))
CHECKS = [one.name for one in catalog.all_checks()]


def _run(*arguments: str) -> subprocess.CompletedProcess[str]:
    """The command on bare Python: no package of anybody's can be imported."""
    command = [sys.executable, "-S", "-m", "heaterapp", *arguments]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


def test_every_check_has_its_entry_in_the_order_of_a_job() -> None:
    assert list(manual.entries()) == CHECKS
    assert [one.name for _, _, found in manual.topics() for one in found] == CHECKS


@pytest.mark.parametrize("name", CHECKS)
def test_an_entry_says_why_and_stands_on_every_place(name: str) -> None:
    """Each clause is stated, or is silent for a reason that is said, in each place."""
    entry = manual.entries()[name]
    assert all((entry.title, entry.reason, entry.remedy))
    assert entry.cases
    for clause in entry.clauses:
        told = [place for one in clause.stated for place in one.places]
        told += [place for why, places in clause.silent for place in places]
        assert sorted(told) == PLACES or told == ["every place"], clause.ident
        assert all(why != "not stated" for why, _ in clause.silent), f"{clause.ident}: silent without a reason"


def test_a_value_is_that_of_the_book() -> None:
    clause = contents.side_by_side("supply.pressure_limit")
    upc = next(one for one in clause.stated if one.book == "Uniform Plumbing Code 2021")
    held = book.place("model_upc_2021").clauses["supply.pressure_limit"]
    assert (upc.section, dict(upc.values), upc.where) == (held.section, {"limit": "80 psi"}, held.where)


def test_the_counts_of_sureness_are_those_of_the_books() -> None:
    for name, title, counts in contents.sureness():
        assert sum(counts) == len(book.place(name).clauses)
        assert title == book.place(name).title


def test_all_66_rows_of_the_checklists_are_recorded_and_judged_where_a_book_rules() -> None:
    rows = manual.items()
    assert len(rows) == 66
    assert len({one.asks for one in rows}) == 66
    for one in rows:
        assert one.questions
        assert bool(one.checks) != bool(one.record_only), one.asks
        for name in one.checks:
            rests_on = set(manual.entries()[name].asked)
            assert rests_on & set(one.labels), f"{one.asks}: {name} rests on none of its questions"
        if one.record_only:
            kept = [CATALOGUE[name] for name in one.questions]
            assert kept, one.asks
    assert sum(bool(one.checks) for one in rows) == 63


def test_two_editions_are_set_side_by_side() -> None:
    lines = list(compare("model_upc_2021", "model_upc_2024"))
    at = lines.index("expansion.peak_limit") if "expansion.peak_limit" in lines else next(
        i for i, line in enumerate(lines) if line.startswith("expansion.") and "80 psi" in " ".join(lines[i : i + 3])
    )  # fmt: skip
    assert "80 psi" in lines[at + 2]
    assert re.fullmatch(r"\d+ differ, \d+ are the same in value\.", lines[-1])


def test_a_book_is_as_itself_and_nothing_is_lost_in_the_count() -> None:
    for name in book_names():
        assert list(compare(name, name))[-1].startswith("0 differ"), name
    held = book.place("us_ca_2022")
    last = list(compare("us_ca_2022", "model_irc_2021"))[-1]
    both = {*held.clauses, *held.silent, *book.place("model_irc_2021").clauses, *book.place("model_irc_2021").silent}
    assert sum(int(n) for n in re.findall(r"\d+", last)) == len(both)


def test_sections_are_compared_when_asked() -> None:
    fewer, more = (len(list(compare("upc_2021", "cpc_2022", sections))) for sections in (False, True))
    assert more >= fewer


def test_a_name_nobody_knows_is_told_by_name() -> None:
    with pytest.raises(UnknownBook, match="atlantis: expected a book or a place, one of"):
        list(compare("upc_2021", "atlantis"))
    told = _run("compare-books", "upc_2021", "atlantis")
    assert (told.returncode, told.stderr.count("\n"), told.stdout) == (2, 1, "")


def test_both_commands_run_on_bare_python() -> None:
    assert _run("compare-books", "upc_2021", "upc_2024").stdout.endswith("the same in value.\n")
    assert _run("coverage").stdout.endswith("66 of 66 recorded, 63 judged.\n")


def test_a_topic_on_paper_has_every_check_of_it() -> None:
    reader = pypdf.PdfReader(io.BytesIO(manual_pdf("alarms")))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for one in manual.entries().values():
        assert (one.title in text) == (one.topic == "alarms"), one.name
    assert "What published checklists ask" in text
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.outline


def test_a_topic_nobody_knows_is_told_by_name() -> None:
    with pytest.raises(LookupError, match="plumbing: expected one of heater, supply"):
        manual_pdf("plumbing")
