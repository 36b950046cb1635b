"""A job's review as markup: what stands in the way, what is left to others, the figures it turns on.

The findings are those of templates/job/review.html. A link to a question is `#SECTION/q-NAME` and says
the same in `data-go` (the section) and `data-question`: whoever shows it takes it there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

from ..languages import say, told
from ..rules import CATALOGUE, SECTIONS, mark_of
from ..sheet.answered import accepted_html
from ..sheet.days import day_words
from ..sheet.findings import SPOKEN, called, finding_html, is_open_item, topic_and_name, word_of
from ..sheet.findings import mark_of as worn
from ..sheet.live import picture_html
from ..sheet.marks import verdict_html
from .accepting import TAKE_BACK
from .judging import lapsed
from .mended_at import place_of
from .standing import Standing, in_form_order
from .typed import asks

Answers = Mapping[str, Any]
Told = Mapping[str, Any]


def review_html(answers: Answers, report: Told, now: Told, order: Iterable[str], stands: Standing) -> str:
    """Everything the review shows under its counts.

    answers  those that this version reads
    report   what `judging.judged` gave for them
    now      what `sheet.live.live` told of the two
    order    the sections of this job
    stands   what `standing.where_it_stands` read from all of them
    """
    advised = [f for f in report["findings"] if f["kind"] == "advice" and f["verdict"] in SPOKEN]
    pictures = _pictures(answers, report, order)
    calm = not (stands.fix or stands.todo or stands.others)
    return "".join(
        (
            f"<div>{now['hazard']}</div>",
            _part("fix", say("To fix"), _listed(stands.fix, report, now)),
            _part("lapsed", say("Accepted before, holds no longer"), _lapsed(answers, report)),
            _part("answer", say("To answer"), _to_answer(stands.todo)),
            _part("before", say("Before it can be signed"), _to_mend_first(stands.mend), kind="lines"),
            _part(
                "others", say("Left to the authority or a designer"), _listed(stands.others, report, now),
                say("These do not hold the paper up. They are printed as open items."),
            ),
            _part("taken", say("Accepted by the authority"), _listed(stands.taken, report, now)),
            _part("advice", say("Good practice"), _advised(advised, now), kind="findings"),
            _part(
                "open-practice", say("Good practice, not answered"), _left_open(not_answered(report, now)),
                say("These do not hold the paper up. They are printed as not answered."), kind="lines",
            ),
            _part("unusual", say("Unusual values"), "".join(map(_flag, report["flags"])), kind="lines"),
            accepted_html(answers),
            pictures if calm else f'<div class="stack">{pictures}</div>',
        )
    )  # fmt: skip


def follows_html(stands: Standing) -> str:
    """What can be done now, with a way to each question that comes first; empty where nothing is open."""
    names = ", ".join(
        f"<a {go_to(CATALOGUE[name].section, name)}>{escape(say(CATALOGUE[name].label))}</a>"
        for name in stands.first
    )
    return f"{escape(stands.follows)} {names}." if names else escape(stands.follows)


def go_to(section: str, name: str = "") -> str:
    """The attributes of a link to a section, or to a question in it.

    >>> go_to("water", "house_pressure_psi")
    'href="#water/q-house_pressure_psi" data-go="water" data-question="house_pressure_psi"'
    """
    if not name:
        return f'href="#{section}" data-go="{section}"'
    return f'href="#{section}/q-{name}" data-go="{section}" data-question="{name}"'


def _to_mend_first(mend: Mapping[str, str]) -> str:
    return "".join(
        f'<li><a class="line-link" {go_to(CATALOGUE[name].section, name)}>{escape(says)}</a></li>'
        for name, says in mend.items()
    )


def _advised(findings: list[Told], now: Told) -> str:
    ordered = in_form_order(findings, now)
    return "".join(f'{finding_html(f)}<li class="act">{_way(f, now)}</li>' for f in ordered)


def not_answered(report: Told, now: Told) -> list[tuple[str, str, str]]:
    """The good practice that nobody answered: its name, and the section and the question to go to.

    Nothing without a place: there every check waits for it.
    """
    found = report["findings"] if report["place"] else []
    waits = [f for f in found if f["kind"] == "advice" and f["verdict"] == "unanswered"]
    ordered = in_form_order(waits, now)
    return [(topic_and_name(f["check"]), *place_of(f, now["asked"], now["spare"])) for f in ordered]


def _left_open(names: list[tuple[str, str, str]]) -> str:
    return "".join(
        f'<li><a class="line-link" {go_to(section, question)}>{escape(name)}</a></li>'
        for name, section, question in names
    )


def _way(finding: Told, now: Told) -> str:
    section, question = place_of(finding, now["asked"], now["spare"])
    words = escape(say("Go to {section}", section=say(SECTIONS[section])))
    about = told(finding["check"], finding["title"])
    return f"<a {go_to(section, question)}>{words}{_of(about)}</a>"


def _part(ident: str, title: str, inner: str, said: str = "", kind: str = "") -> str:
    if not inner:
        return ""
    quiet = f'<p class="quiet">{said}</p>' if said else ""
    body = f'<ul class="{kind}">{inner}</ul>' if kind else inner
    head = f'<h2 id="{ident}">{title}</h2>'
    return f'<section class="stack stack-tight" aria-labelledby="{ident}">{head}{quiet}{body}</section>'


def _listed(findings: list[Told], report: Told, now: Told) -> str:
    lines = "".join(
        f'{finding_html(f)}<li class="act" id="check-{escape(f["check"])}">'
        f"{_way(f, now)}{_to_accept(f, report)}</li>"
        for f in findings
    )
    return f'<ul class="findings">{lines}</ul>' if lines else ""


def _to_accept(finding: Told, report: Told) -> str:
    if finding.get("hazard") or finding["verdict"] == "error" or not report["place"]:
        return ""
    check, held = escape(finding["check"]), finding.get("accepted") or {}
    lead = say("Accepted: change or take back") if held else say("The authority accepted this")
    title = told(finding["check"], finding["title"])
    fields = "".join(
        f'<label>{say(_LABELS[name])} <input type="{kind}" id="{name}-{check}" name="{name}"'
        f' value="{escape(held.get(name, ""))}"></label>'
        for name, kind in _WHO_ACCEPTED.items()
    )
    back = _take_back(say("Take it back"), title) if held else ""
    record = f'<button class="button" type="submit">{say("Record it")}</button>'
    return (
        f'<details class="taken-form"><summary>{lead}{_of(title)}</summary>'
        f'<form class="stack stack-tight" novalidate data-accept="{check}" data-of="{mark_of(finding)}">'
        f'{_FAULT}{fields}<p class="row">{record}{back}</p></form></details>'
    )


def _take_back(words: str, title: str) -> str:
    return f'<button class="button" type="submit" name="act" value="{TAKE_BACK}">{words}{_of(title)}</button>'


def _of(title: str) -> str:
    return f'<span class="hidden-words">: {escape(title)}</span>'


_FAULT = '<p class="error" role="alert" data-fault hidden></p>'
_WHO_ACCEPTED = {"by": "text", "on": "date", "why": "text"}
_LABELS = {"by": "Who accepted it", "on": "On which day", "why": "Why"}


def _to_answer(todo: list[str]) -> str:
    parts = []
    for section, title in SECTIONS.items():
        lines = "".join(
            f'<li><a class="line-link" {go_to(section, name)}>{escape(say(CATALOGUE[name].label))}</a></li>'
            for name in todo
            if CATALOGUE[name].section == section
        )
        if lines:
            parts.append(f'<h3>{escape(say(title))}</h3><ul class="lines">{lines}</ul>')
    return "".join(parts)


def _lapsed(answers: Answers, report: Told) -> str:
    lines = []
    for one in lapsed(answers, report):
        now = one["now"]
        title = told(one["check"], now["title"]) if now else one["check"]
        was = verdict_html(one["verdict"]) if one.get("verdict") in _WORDS else say("it")
        named = {key: escape(str(one[key])) for key in ("by", "on", "why")}
        named |= {"title": escape(title), "was": was}
        at = escape(told(one["check"], one.get("found") or ""))
        said = say(LAPSED_AT, **named, found=at) if at else say(LAPSED, **named)
        if now:
            found = escape(told(one["check"], now["found"] or ""))
            here = verdict_html(now["verdict"])
            after = say("Now: {verdict} at {found}.", verdict=here, found=found)
            said = f"{said} {after if found else say('Now: {verdict}.', verdict=here)}"
        off = _take_back(say("Take it off the list"), title)
        lines.append(f'<li>{said} <form data-accept="{escape(one["check"])}">{_FAULT}{off}</form></li>')
    return f'<ul class="lines">{"".join(lines)}</ul>' if lines else ""


LAPSED = "{title}: {by}, {on}, accepted {was} ({why})."
LAPSED_AT = "{title}: {by}, {on}, accepted {was} at {found} ({why})."
_WORDS = ("meets", "fails", "authority", "engineer", "unanswered", "silent", "not_applicable", "error")


def _flag(flag: Told) -> str:
    question = CATALOGUE.get(flag["question"])
    label = escape(say(question.label) if question and asks(question) else flag["question"])
    if question and asks(question):
        label = f'<a class="line-link" {go_to(question.section, question.name)}>{label}</a>'
    return f"<li>{label}: {escape(told('common', flag['says']))}</li>"


def _pictures(answers: Answers, report: Told, order: Iterable[str]) -> str:
    drawn = {s: picture_html(answers, report, s) for s in ("water", "place") if s in order}
    return "".join(
        f'<section class="means" aria-label="{escape(say(SECTIONS[s]))}">{html}</section>'
        for s, html in drawn.items()
        if html
    )


def open_items_html(report: Told) -> str:
    """What is printed on the paper as open or as accepted, a line each; empty where nothing is."""
    return "".join(_open_html(f) for f in report["findings"] if is_open_item(f))


def _open_html(finding: Any) -> str:
    head = verdict_html(worn(finding), word=word_of(finding))
    taken = finding.get("accepted")
    who = f"{taken['by']}, {day_words(taken['on'])}" if taken else ""
    by = f' <span class="quiet">{escape(who)}</span>' if who else ""
    why = escape(told(finding["check"], finding["why"]))
    return f"<li>{head} {escape(called(finding['check']))}: {why}{by}</li>"
