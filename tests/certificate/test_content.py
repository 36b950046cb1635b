"""What a paper says beside its numbers: cautions beside their items, counts that an inspector can count again."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from heaterapp.certificate.columns import in_rows
from heaterapp.certificate.content import _counted, paper_of
from heaterapp.certificate.figured import before_value, in_columns
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.paper import Drawing, Working
from heaterapp.certificate.press import html_of
from heaterapp.certificate.wording import COUNTS
from heaterapp.certificate.wrapping import TYPES
from heaterapp.languages import speaking

ROOMY = TYPES["roomy"]
JOBS = ("gas_storage_us_ca", "heat_pump_irc_2021", "electric_tankless_irc_2021")
LISTED = re.compile(r'<p class="c(?: w"><span class="n)?">([●○])\s')


def paper(record_of: Any, job: str, kind: str = "certificate", changes: Any = None) -> Any:
    return paper_of(Filed.of(record_of(job, changes, kind=kind)))


@pytest.mark.parametrize("job", JOBS)
def test_the_counts_are_those_of_the_list(job: str, record_of: Any) -> None:
    said = paper(record_of, job)
    marks = LISTED.findall(html_of(said))
    many, rules, advised = (len(marks), marks.count("●"), marks.count("○"))
    report = json.loads(record_of(job, None, kind="certificate").report)
    met = [one for one in report["findings"] if (one["kind"], one["verdict"]) == ("rule", "meets")]
    # a data plate, makers' instructions, an agency's guide and the trade are no adopted code
    coded = sum(bool(re.search(r"[0-9]", one["section"])) for one in met if one["confidence"] != "practice")
    assert not any(re.match(r"[A-Z]?[0-9]{3}", one["section"]) for one in met if one["confidence"] == "practice")
    makers = rules - coded
    assert makers > 0
    assert said.met_counts == (
        f"{many} listed: ● {coded} by the codes, {makers} by makers, data plate, agencies or trade, ○ {advised} of good practice"
    )
    codes, _, practice = said.counts.partition("; ")
    assert codes.startswith(f"{rules} meet")
    assert practice.startswith(f"of good practice {advised} meet")
    absent = sum(len(names.split(", ")) for _, names in said.not_here)
    assert absent == sum(int(one) for one in re.findall(r"([0-9]+) not here", said.counts))
    assert len(said.opens) == sum(int(one) for one in re.findall(r"([0-9]+) for the authority", said.counts))
    report = json.loads(record_of(job).report)
    met = [one["kind"] for one in report["findings"] if one["verdict"] == "meets"]
    assert (len(met), met.count("advice")) == (many, advised)


ONE_AND_TWO = {
    "en": (
        "1 meets, 1 to fix, 1 to answer, 1 accepted by the authority, 1 for the authority, 1 needs a design, 1 broken,"
        " 1 not here, 1 code silent; of good practice 1 advised, 1 not answered",
        "2 meet, 2 to fix, 2 to answer, 2 accepted by the authority, 2 for the authority, 2 need a design, 2 broken,"
        " 2 not here, 2 code silent; of good practice 2 advised, 2 not answered",
    ),
    "es": (
        "1 cumple, 1 por corregir, 1 por responder, 1 aceptada por la autoridad, 1 para la autoridad,"
        " 1 requiere diseño, 1 sin poder evaluarse, 1 no aplica, 1 sin regla en el código; de buena práctica 1 aconsejada, 1 sin responder",
        "2 cumplen, 2 por corregir, 2 por responder, 2 aceptadas por la autoridad, 2 para la autoridad,"
        " 2 requieren diseño, 2 sin poder evaluarse, 2 no aplican, 2 sin regla en el código; de buena práctica"
        " 2 aconsejadas, 2 sin responder",
    ),
}


@pytest.mark.parametrize("language", ONE_AND_TWO)
def test_one_is_counted_as_one(language: str) -> None:
    found = [{"kind": "rule", "verdict": name} for name in COUNTS if name not in ("accepted", "advised", "open")]
    found += [
        {"kind": "rule", "verdict": "fails", "accepted": {"by": "the city"}}, {"kind": "advice", "verdict": "fails"},
        {"kind": "advice", "verdict": "unanswered"},
    ]  # fmt: skip
    with speaking(language):
        assert (_counted(found), _counted(found * 2)) == ONE_AND_TWO[language]


def test_a_caution_stands_in_the_row_of_an_item_before_the_list(record_of: Any) -> None:
    usual = paper(record_of, "gas_storage_us_ca")
    heads = {topic.title: [lead for lead, _ in topic.cautions] for topic in usual.met if topic.cautions}
    assert heads == {
        "Relief valve": ["Relief valve:"], "Hot water temperature": ["Hot water burns."], "Gas": ["Smell gas?"],
        "Earthquake straps": ["After an earthquake:"], "Alarms": ["CO alarm, or anyone feels sick?"],
    }  # fmt: skip
    listed = paper(record_of, "gas_storage_to_fix", "correction_list")
    rows = {one.title: [lead for lead, _ in one.cautions] for one in listed.fixes if one.cautions}
    assert rows == {"Lower strap in lower third": ["After an earthquake:"]}
    assert not any(topic.title == "Earthquake straps" and topic.cautions for topic in listed.met)
    markup = html_of(listed)
    assert markup.index("After an earthquake:") < markup.index("Figures and their working")
    assert markup.count('class="caution"') == 5


def test_a_caution_of_nothing_on_the_paper_is_kept_in_mind(record_of: Any, with_report: Any) -> None:
    def without(report: dict[str, Any]) -> None:
        report["findings"] = [one for one in report["findings"] if one["topic"] != "temperature"]

    left = paper_of(Filed.of(with_report(record_of(), without)))
    assert [lead for lead, _ in left.cautions] == ["Hot water burns."]
    assert "Keep in mind" in html_of(left)
    assert "Keep in mind" not in html_of(paper(record_of, "gas_storage_us_ca"))


def test_rows_hold_every_check_once_with_its_topic_s_cautions_where_it_begins(record_of: Any) -> None:
    met = paper(record_of, "gas_storage_us_ca").met
    close = TYPES["close"]
    for ends in ((), (18,), (25.5, 20), (1, 1, 1)):
        rows = in_rows(met, close, ends)
        assert len(rows) == len(ends) + 1
        parts = [topic for row in rows for column in row for topic in column]
        assert [one.name for topic in parts for one in topic.checks] == [one.name for topic in met for one in topic.checks]
        assert [said for topic in parts for said in topic.cautions] == [said for topic in met for said in topic.cautions]
        assert not any(topic.cautions for topic in parts if topic.title.endswith(", continued"))


def test_a_page_and_a_column_end_with_a_topic_where_that_leaves_little_white(record_of: Any) -> None:
    met = paper(record_of, "gas_storage_us_ca").met
    whole = [one.title for one in met]
    ended, torn = (in_rows(met, TYPES["close"], [lines]) for lines in (20, 25))
    assert ended[1][0][0].title in whole, "the second page begins with a topic"
    assert torn[1][0][0].title == "Relief valve, continued", "a long topic is torn rather than a page left white"
    for column in (part for rows in (ended, torn) for row in rows for part in row):
        lone = [one for one in (column[0], column[-1]) if "continued" in one.title and len(one.checks) == 1]
        assert not lone or len(column) == 1


def figure(working: str = "", label: str = "Label", value: str = "1") -> Working:
    return Working(label, value, " psi", "", working, "", "")


@pytest.mark.parametrize(
    ("label", "value", "tight", "roomy"),
    [("Label", "1", "\t", "\t"), ("A label that is longer than its place", "1", "  ", "\n\t"), ("L", "100,000,000,000", "  ", "  "),
     ("Lower strap, from the floor", "4 3/4 to 7 1/4", "\t", "\t"), ("A label so long that with its value it takes another line", "1", "\t", "\t")],
)  # fmt: skip
def test_a_value_stands_at_its_place_or_follows_its_label(label: str, value: str, tight: str, roomy: str) -> None:
    given = figure(label=label, value=value)
    assert (before_value(given, TYPES["close"]), before_value(given, ROOMY)) == (tight, roomy)


def test_columns_are_filled_in_order_and_shorter_above_a_drawing() -> None:
    many = [figure() for _ in range(30)]
    assert [len(one) for one in in_columns(many, 3, ROOMY)] == [10, 10, 10]
    drawing = Drawing("", ("Said.",), 0.5)  # type: ignore[arg-type]
    short = [len(one) for one in in_columns(many, 3, ROOMY, under=[drawing])]
    assert short[0] < min(short[1:])
    assert sum(short) == 30
    assert [len(one) for one in in_columns(many[:4], 3, ROOMY, under=[drawing])] == [0, 2, 2], "the drawing alone"
    tall = Drawing("", ("Said. " * 60,), 0.5)  # type: ignore[arg-type]
    level = [len(one) for one in in_columns(many, 3, ROOMY, under=[drawing, tall], level=True)]
    assert level[0] == level[1] < level[2]
    assert [len(one) for one in in_columns([], 3, ROOMY)] == [0, 0, 0]
    assert [len(one) for one in in_columns([figure("long " * 200)], 3, ROOMY)] == [1, 0, 0]




@pytest.mark.parametrize(
    ("zone", "language", "issued", "signed", "worked"),
    [
        ("America/Los_Angeles", "en", "25 Nov 2026, 9:03\xa0am PST", "25 Nov 2026, 9:02\xa0am PST", "Work done 25 Nov 2026"),
        ("Asia/Tokyo", "es", "26 nov 2026, 2:03\xa0a.\xa0m. JST", "26 nov 2026, 2:02\xa0a.\xa0m. JST", "25 nov 2026"),
        (None, "en", "2026-11-25 17:03 UTC", "2026-11-25 17:02 UTC", "Work done 25 Nov 2026"),
    ],
)
def test_a_paper_tells_the_time_of_the_zone_that_its_record_kept(
    zone: str | None, language: str, issued: str, signed: str, worked: str, record_of: Any
) -> None:
    record = record_of("gas_storage_us_ca", organisation_snapshot={"settings": {"time_zone": zone} if zone else {}})
    with speaking(language):
        said = paper_of(Filed.of(record))
    assert (said.issued, said.issued_iso) == (issued, "2026-11-25T17:03:26Z")
    assert f" {signed}," in said.signatures[0].how
    assert any(worked in one for field in said.parties for one in field.lines)
