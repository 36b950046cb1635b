"""What a job's pages say beside the fields, worked out from its answers and its report.

Standard library only: the server uses it for every page and for the live call, and
the same code runs on the phone.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache, lru_cache
from html import escape
from typing import Any

from ..rules.job import Job
from ..rules.question import Question
from ..rules.questions import CATALOGUE, ORDER, SECTIONS
from ..rules.when import NOT_ASKED
from .findings import (
    SPOKEN,
    blocks,
    figures_html,
    finding_html,
    findings_html,
    hazard_html,
    is_open_item,
    last_question,
    measure,
    section_of,
    tally_html,
    value_of,
)
from .marks import verdict_html
from .words import AS_USUAL

Answers = Mapping[str, Any]
Told = Mapping[str, Any]

OUTCOMES = {
    "ready": "Nothing to fix, nothing to answer",
    "fix": "Something to fix",
    "unfinished": "Something to answer",
}
# Kept for the record, yet always in view: what identifies the job, and what a hazard asks.
ALWAYS_SHOWN = frozenset({"install_year", "hazard_action", "work_date"})
MAY_STAY_EMPTY = frozenset({"job_ref", "address_unit"})
# A stand left out is a strap in the wrong place: a default never hides what is measured.
_IN_VIEW = frozenset(
    q.name
    for q in CATALOGUE.values()
    if (q.measured and q.default is not None)
    or (q.record and (q.kind == "text" or q.name in ALWAYS_SHOWN) and q.name not in MAY_STAY_EMPTY)
)
_UNDER_FIELDS = frozenset({*SPOKEN, "meets"})
_PLACES = {section: place for place, section in enumerate(SECTIONS)}


def live(
    answers: Answers, report: Told, sections: tuple[str, ...] = tuple(SECTIONS), job: Job | None = None
) -> dict[str, Any]:
    """Everything that follows from the answers, ready to be put on the page.

    answers  the stored answers
    report   `Report.as_json()` for them
    sections those whose HTML is wanted; the counts are of all
    job      the answers as read, where they were read already
    returns  outcome; counts (meets, fix, answer, open); tallies (the same for each section, as HTML);
             sections (id -> HTML); said (question -> HTML under its field); asked
             (question -> asked at all); spare (asked, but may stay empty); hazard (HTML)
    """
    shown, spare = asked(Job(answers) if job is None else job, report)
    return {
        "outcome": report["outcome"],
        "outcome_words": OUTCOMES[report["outcome"]],
        "counts": counts(report, needed(report)),
        "tallies": {section: tally_html(count) for section, count in tally(report).items()},
        "sections": {section: section_html(answers, report, section) for section in sections},
        "said": said(answers, report, frozenset(sections)),
        "asked": shown,
        "spare": spare,
        "flags": {flag["question"]: flag["says"] for flag in report["flags"]},
        "hazard": hazard_html(answers, report["findings"], "alarms#q-hazard_found"),
    }


def needed(report: Told) -> list[str]:
    """The questions that still need an answer, in the order in which they are measured."""
    wanted = {
        q
        for f in report["findings"]
        if f["verdict"] == "unanswered" and f["kind"] == "rule"
        for q in f.get("missing", ())
    }
    return sorted((q for q in wanted if q in ORDER), key=ORDER.__getitem__)


def counts(report: Told, open_questions: list[str]) -> dict[str, int]:
    """How many checks meet, how many are to fix, how many questions to answer, how many are for others."""
    rules = [f for f in report["findings"] if f["kind"] == "rule"]
    nameless = sum(f["verdict"] == "unanswered" and not f.get("missing") for f in rules)
    return {
        "meets": sum(f["verdict"] == "meets" for f in rules),
        "fix": sum(map(blocks, rules)),
        "answer": len(open_questions) + nameless,
        "open": sum(is_open_item(f) and not blocks(f) for f in rules),
    }


def tally(report: Told) -> dict[str, dict[str, int]]:
    """Section -> its counts, for the list of sections."""
    found: dict[str, list[Any]] = {section: [] for section in SECTIONS}
    for finding in report["findings"]:
        found[section_of(finding)].append(finding)
    open_questions = needed(report)
    return {
        section: counts({"findings": mine}, [q for q in open_questions if CATALOGUE[q].section == section])
        for section, mine in found.items()
    }


def asked(job: Job, report: Told) -> tuple[dict[str, bool], list[str]]:
    """Which questions this job asks, and which of those may stay empty.

    A question whose condition hangs on an answer still to come in its own section or a
    later one waits for it; one that hangs on an earlier section is shown, since sections
    come in any order.
    """
    read: dict[str, Any] = {}

    def look(name: str) -> Any:
        if name not in read:
            read[name] = job.look(name)
        return read[name]

    wanted = set(needed(report))
    for name in list(wanted):
        wanted.update(n for n in _deciding(name) if look(n) is None)
    shown, spare = {}, []
    for name, question in CATALOGUE.items():
        holds = question.when.holds(look) if question.when.names else True
        waits = holds is None and any(
            look(n) is None for n in question.when.names if _comes_with(n, question)
        )
        shown[name] = holds is not False and not waits
        given = name in job.values or name in job.state
        if shown[name] and not given and name not in wanted and name not in _IN_VIEW:
            spare.append(name)
    return shown, spare


def _comes_with(name: str, question: Question) -> bool:
    return _PLACES[CATALOGUE[name].section] >= _PLACES[question.section]


@cache
def _deciding(name: str) -> frozenset[str]:
    names: set[str] = set()
    for one in CATALOGUE[name].when.names:
        names |= {one} | _deciding(one)
    return frozenset(names)


def where_asked(name: str, shown: Mapping[str, bool]) -> str:
    """The question to go to for `name`: itself, or the one that decides whether it is asked."""
    if shown.get(name) or name not in CATALOGUE:
        return name
    return next((n for n in CATALOGUE[name].when.names if shown.get(n)), name)


def said(answers: Answers, report: Told, sections: frozenset[str] = frozenset(SECTIONS)) -> dict[str, str]:
    """Question -> the verdicts that stand under its field: what failed in full, what meets on a line."""
    under: dict[str, list[str]] = {}
    for finding in report["findings"]:
        if finding["kind"] != "rule" or finding["verdict"] not in _UNDER_FIELDS:
            continue
        if sections.isdisjoint(_sections_asking(tuple(finding["questions"]))):
            continue
        given = [q for q in finding["questions"] if q in answers]
        own = section_of(finding)
        home = [q for q in given if q in CATALOGUE and CATALOGUE[q].section == own]
        place = last_question({"questions": home or given})
        if place is None or CATALOGUE[place].section not in sections:
            continue
        if finding["verdict"] in SPOKEN:
            under.setdefault(place, []).append(finding_html(finding, "div"))
        else:
            limit = measure(finding["limit"], finding["unit"])
            behind = f", limit {escape(limit)}" if limit and finding["found"] is not None else ""
            under.setdefault(place, []).append(
                f'<p class="met">{verdict_html("meets")} {escape(finding["title"])}'
                f'<span class="below">{escape(finding["section"])}{behind}</span></p>'
            )
    for name in answers.get("accepted_as_usual", ()):
        if name in CATALOGUE and CATALOGUE[name].section in sections:
            under.setdefault(name, []).insert(0, f'<p class="as-usual">{AS_USUAL.en}</p>')
    return {name: "".join(lines) for name, lines in under.items()}


@lru_cache(maxsize=2000)
def _sections_asking(questions: tuple[str, ...]) -> frozenset[str]:
    return frozenset(CATALOGUE[q].section for q in questions if q in CATALOGUE)


def section_html(answers: Answers, report: Told, section: str) -> str:
    """What a section's answers mean now: the number the job turns on, drawings, verdicts, figures."""
    mine = [f for f in report["findings"] if section_of(f) == section]
    large = turning(answers, report, section)
    todo = [q for q in needed(report) if CATALOGUE[q].section == section]
    parts = [f'<p class="turning">{line}</p>' for line in large]
    parts.append(drawing(answers, report, section))
    parts.append(findings_html(mine))
    parts.append(figures_html(report["figures"], section))
    if todo:
        links = "".join(f'<li><a href="#q-{q}">{escape(CATALOGUE[q].label)}</a></li>' for q in todo)
        parts.append(
            f'<details class="folded todo"><summary>{len(todo)} to answer here</summary>'
            f"<ul>{links}</ul></details>"
        )
    whole = "".join(parts)
    return whole or '<p class="quiet">Verdicts appear here as you answer.</p>'


def drawing(answers: Answers, report: Told, section: str) -> str:
    """The section's drawing, where it has one and its numbers are known."""
    from .draw import pressure_svg, straps_svg

    draw = {"place": straps_svg, "water": pressure_svg}.get(section)
    svg = draw(dict(answers), dict(report)) if draw else None
    return f'<figure class="drawing">{svg}</figure>' if svg else ""


def turning(answers: Answers, report: Told, section: str) -> list[str]:
    """The lines in large type: the numbers a job turns on in this section."""
    figures = report["figures"]

    def value(name: str) -> str:
        one = figures.get(name)
        return value_of(one) if one else ""

    lines: list[str] = []
    if section == "water":
        lines = _water_lines(answers, report, value)
    elif section == "place":
        lines = [
            f"{word} strap <b>{escape(value(name))}</b> from the floor"
            for word, name in (("Upper", "upper_strap_band_in"), ("Lower", "lower_strap_band_in"))
            if value(name)
        ]
    elif section == "vent" and value("vent_capacity_btuh") and answers.get("input_btuh"):
        burns = measure(str(answers["input_btuh"]), "Btu/h")
        lines = [
            f"Vent carries <b>{escape(value('vent_capacity_btuh'))}</b>",
            f"This heater burns <b>{escape(burns)}</b>",
        ]
    elif section == "electric" and value("breaker_min_a"):
        most = value("breaker_max_a")
        band = f"{value('breaker_min_a')} to {most}" if most else f"{value('breaker_min_a')} or more"
        lines = [f"Breaker <b>{escape(band)}</b>"]
    return lines


def _water_lines(answers: Answers, report: Told, value: Any) -> list[str]:
    lines = []
    if value("precharge_target_psi") and answers.get("expansion_device") == "tank":
        lines.append(f"Set tank air to <b>{escape(_short(value('precharge_target_psi')))}</b>")
    size = next((f for f in report["findings"] if f["check"] == "expansion.tank_large_enough"), None)
    if size and size["verdict"] == "fails" and value("expansion_tank_needed_gal"):
        needs, has = (
            value("expansion_tank_needed_gal"),
            measure(str(answers.get("expansion_tank_gal", "")), "gal"),
        )
        reach = value("peak_pressure_as_recommended_psi")
        would = f": with its air set so, pressure would reach <b>{escape(_short(reach))}</b>" if reach else ""
        lines += [f"Tank needs at least <b>{escape(needs)}</b>", f"This one is {escape(has)}{would}"]
    return lines


def _short(text: str) -> str:
    number, _, unit = text.partition(" ")
    try:
        value = Decimal(number.replace(",", ""))
    except ArithmeticError:
        return text
    return f"{value.normalize():f} {unit}" if value == value.to_integral_value() else text


def is_asked(job: Job, name: str) -> bool:
    """Whether this job may ask `name`: its condition is not ruled out."""
    return job.look(name) is not NOT_ASKED or job.state.get(name) == "not_here"
