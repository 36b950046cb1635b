"""What a job's pages say beside the fields, worked out from its answers and its report.

Standard library only: the server uses it for every page and for the live call, and
the same code runs on the phone.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from html import escape
from typing import Any

from ..languages import say
from ..languages import told as in_words
from ..rules.job import Job
from ..rules.question import Question
from ..rules.questions import CATALOGUE, ORDER, SECTIONS
from ..rules.when import When
from .draw.given import figures_taped
from .findings import (
    SPOKEN,
    blocks,
    bound_of,
    figures_html,
    finding_html,
    findings_html,
    is_open_item,
    last_question,
    limit_words,
    section_of,
    side_by_side,
    tally_html,
)
from .groups import STANDS_AT
from .hazard import hazard_html
from .left import ON_EVERY_PAPER, lead_words
from .marks import verdict_html
from .turning import turning
from .words import AS_USUAL

Answers = Mapping[str, Any]
Told = Mapping[str, Any]

# Needed by no verdict, yet always in view: what identifies the job, and what is dangerous.
ALWAYS_SHOWN = frozenset({"elevation_ft", "install_year", "hazard_found", "hazard_action", "work_date"})
MAY_STAY_EMPTY = frozenset({"job_ref", "address_unit"})
# A stand left out is a strap in the wrong place: a default never hides what is measured.
_IN_VIEW = frozenset(
    q.name
    for q in CATALOGUE.values()
    if (q.measured and q.default is not None)
    or q.name in ALWAYS_SHOWN
    or (q.record and q.kind == "text" and q.name not in MAY_STAY_EMPTY)
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
             sections (id -> HTML); todo (the questions that "to answer" counts); said (question ->
             HTML under its field); asked (question -> asked at all); spare (asked, but may stay
             empty); hazard (HTML)
    """
    read = Job(answers) if job is None else job
    shown, spare = asked(read, report)
    todo = to_answer(read, report, shown)
    counted = counts(report, todo)
    return {
        "outcome": report["outcome"],
        "outcome_words": lead_words(counted),
        "counts": counted,
        "tallies": {section: tally_html(count) for section, count in tally(report, todo).items()},
        "sections": {section: section_html(answers, report, section, todo) for section in sections},
        "todo": todo,
        "said": said(answers, report, frozenset(sections)),
        "asked": shown,
        "spare": spare,
        "flags": {flag["question"]: in_words("common", flag["says"]) for flag in report["flags"]},
        "hazard": hazard_html(answers, report["findings"], "alarms#q-hazard_found"),
    }


def needed(report: Told) -> list[str]:
    """The questions on which a verdict waits, in the order in which they are measured, asked yet or not."""
    wanted = {
        q
        for f in report["findings"]
        if f["verdict"] == "unanswered" and f["kind"] == "rule"
        for q in f.get("missing") or (last_question(f),)
    }
    return sorted((q for q in wanted if q in ORDER), key=ORDER.__getitem__)


def to_answer(job: Job, report: Told, shown: Mapping[str, bool]) -> list[str]:
    """The questions that a person finds in the sections and has to answer, in the order of the job.

    Those on which a verdict waits, and in place of one that is not asked yet those that decide whether it is;
    and those without which no paper is signed.
    """
    return sorted((name for name in _wanted(job, report) if shown[name]), key=ORDER.__getitem__)


def _wanted(job: Job, report: Told) -> set[str]:
    wanted = set(needed(report))
    for name in list(wanted):
        decided_by, holds = _deciding(name), CATALOGUE[name].when.holds(job.look)
        if holds is None:
            wanted.update(n for n in decided_by if job.look(n) is None)
        elif decided_by and not holds:
            # A verdict waits for what these answers rule out: the last of them is looked at again.
            wanted.add(max(decided_by, key=ORDER.__getitem__))
    return wanted.union(n for n in ON_EVERY_PAPER if n not in job.values and n not in job.state)


def counts(report: Told, open_questions: list[str]) -> dict[str, int]:
    """How many checks meet, how many are to fix, how many questions to answer, how many are for others,
    how many the authority accepted."""
    told = _none_yet()
    for finding in report["findings"]:
        one = _counts_as(finding)
        if one:
            told[one] += 1
    told["answer"] = len(open_questions)
    return told


def _none_yet() -> dict[str, int]:
    return {"meets": 0, "fix": 0, "answer": 0, "open": 0, "accepted": 0}


def _counts_as(finding: Mapping[str, Any]) -> str:
    verdict = finding["verdict"]
    if finding["kind"] != "rule":
        return ""
    if verdict == "meets":
        return "meets"
    if blocks(finding):
        return "fix"
    if not is_open_item(finding):
        return ""
    # Nobody waits for a word that was given.
    return "accepted" if finding.get("accepted") else "open"


def tally(report: Told, open_questions: list[str]) -> dict[str, dict[str, int]]:
    """Section -> its counts, for the list of sections."""
    found = {section: _none_yet() for section in SECTIONS}
    for finding in report["findings"]:
        one = _counts_as(finding)
        if one:
            found[section_of(finding)][one] += 1
    for name in open_questions:
        found[CATALOGUE[name].section]["answer"] += 1
    return found


def asked(job: Job, report: Told) -> tuple[dict[str, bool], list[str]]:
    """Which questions this job asks, and which of those may stay empty.

    A question whose condition hangs on an answer still to come in its own section or a
    later one waits for it; one that hangs on an earlier section is shown, since sections
    come in any order.
    """
    look = job.look
    held: dict[When, bool | None] = {}
    wanted = _wanted(job, report)
    shown, spare = {}, []
    for name, when, beside, in_view in _asking():
        # One condition stands for many questions.
        if when not in held:
            held[when] = when.holds(look) if when.names else True
        holds = held[when]
        asks = not any(look(n) is None for n in beside) if holds is None else holds
        shown[name] = asks
        if asks and not in_view and name not in wanted and name not in job.values and name not in job.state:
            spare.append(name)
    return shown, spare


@cache
def _asking() -> tuple[tuple[str, When, tuple[str, ...], bool], ...]:
    """Each question's name, condition, the answers it waits for, and whether it is always in view."""
    return tuple(
        (q.name, q.when, tuple(n for n in q.when.names if _comes_with(n, q)), q.name in _IN_VIEW)
        for q in CATALOGUE.values()
    )


def _comes_with(name: str, question: Question) -> bool:
    return _PLACES[CATALOGUE[name].section] >= _PLACES[question.section]


@cache
def _deciding(name: str) -> frozenset[str]:
    names: set[str] = set()
    for one in CATALOGUE[name].when.waited_for:
        names |= {one} | _deciding(one)
    return frozenset(names)


def said(answers: Answers, report: Told, sections: frozenset[str] = frozenset(SECTIONS)) -> dict[str, str]:
    """Question -> the verdicts that stand under its field: what failed in full, what meets on a line."""
    under: dict[str, list[str]] = {}
    for finding in report["findings"]:
        if _told_what_else(finding, answers):
            place = last_question({"questions": finding["missing"]})
            if place is not None and CATALOGUE[place].section in sections:
                under.setdefault(place, []).append(finding_html(finding, "div"))
            continue
        if finding["kind"] != "rule" or finding["verdict"] not in _UNDER_FIELDS:
            continue
        if sections.isdisjoint(_sections_asking(tuple(finding["questions"]))):
            continue
        given = [q for q in finding["questions"] if q in answers]
        own = section_of(finding)
        home = [q for q in given if q in CATALOGUE and CATALOGUE[q].section == own]
        # Two subjects share this section, and each speaks under its own questions.
        about = [q for q in home if q.startswith(f"{finding['topic']}_")] if own == "relief" else []
        better = STANDS_AT.get(finding["check"])
        place = better if better in given else last_question({"questions": about or home or given})
        if place is None or CATALOGUE[place].section not in sections:
            continue
        if finding["verdict"] in SPOKEN:
            under.setdefault(place, []).append(finding_html(finding, "div"))
        else:
            limit = limit_words(finding)
            compared = finding["found"] is not None and side_by_side(finding)
            told = limit and compared and not bound_of(finding).startswith("else ")
            behind = f", {escape(limit)}" if told else ""
            title = in_words(finding["check"], finding["title"])
            under.setdefault(place, []).append(
                f'<p class="met">{verdict_html("meets")} {escape(title)}'
                f'<span class="below">{escape(say(finding["section"]))}{behind}</span></p>'
            )
    for name in answers.get("accepted_as_usual", ()):
        if name in CATALOGUE and CATALOGUE[name].section in sections:
            under.setdefault(name, []).insert(0, f'<p class="as-usual">{AS_USUAL.here}</p>')
    return {name: "".join(lines) for name, lines in under.items()}


def _told_what_else(finding: Mapping[str, Any], answers: Answers) -> bool:
    """It waits for nothing that is still blank, and says what to do instead."""
    if finding["verdict"] != "unanswered" or finding["kind"] != "rule" or not finding.get("missing"):
        return False
    own = finding["fix"] and not finding["fix"].startswith("Answer: ")
    return bool(own) and all(one in answers for one in finding["missing"])


@lru_cache(maxsize=2000)
def _sections_asking(questions: tuple[str, ...]) -> frozenset[str]:
    return frozenset(CATALOGUE[q].section for q in questions if q in CATALOGUE)


def section_html(answers: Answers, report: Told, section: str, open_questions: list[str]) -> str:
    """What a section's answers mean now: the number the job turns on, drawings, verdicts, figures."""
    mine = [f for f in report["findings"] if section_of(f) == section]
    todo = [q for q in open_questions if CATALOGUE[q].section == section]
    parts = [picture_html(answers, report, section)]
    parts.append(findings_html(mine, brief=True))
    parts.append(figures_html(figures_taped(report), section, brief=True))
    if todo:
        links = "".join(f'<li><a href="#q-{q}">{escape(say(CATALOGUE[q].label))}</a></li>' for q in todo)
        parts.append(
            f'<details class="folded todo">'
            f"<summary>{say('{count} to answer here', count=len(todo))}</summary>"
            f"<ul>{links}</ul></details>"
        )
    whole = "".join(parts)
    return whole or f'<p class="quiet">{say("Verdicts appear here as you answer.")}</p>'


def picture_html(answers: Answers, report: Told, section: str) -> str:
    """The numbers a job turns on in this section, large, and its drawing; empty where it has neither."""
    lines = (f'<p class="turning">{line}</p>' for line in turning(answers, report, section))
    return "".join(lines) + drawing(answers, report, section)


def drawing(answers: Answers, report: Told, section: str) -> str:
    """The section's drawing, where it has one and its numbers are known.

    A script can tell heights on the one of the straps by its scale, which stands beside it and not within:
    the drawing is the paper's as it is.
    """
    from .draw import pressure_svg, straps_scale, straps_svg, vent_svg

    draw = {"place": straps_svg, "water": pressure_svg, "vent": vent_svg}.get(section)
    svg = draw(dict(answers), dict(report)) if draw else None
    scale = straps_scale(answers, report) if svg and draw is straps_svg else {}
    told = "".join(f' data-{name}="{value}"' for name, value in scale.items())
    return f'<figure class="drawing"{" data-straps" if scale else ""}{told}>{svg}</figure>' if svg else ""
