"""Findings and figures of a report as small pieces of HTML, in the order in which they matter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from html import escape
from typing import Any

from ..languages import say, spoken, told
from ..rules.questions import CATALOGUE, ORDER
from ..rules.report import forces
from .bounds import bound_of, found_words
from .bounds import measure as measure
from .cited import book_html
from .days import day_words
from .draw.given import is_known as is_known
from .marks import mark, verdict_html
from .words import (
    ACCEPTED,
    ADVICE,
    CONFIDENCE,
    FIGURES,
    HOME_SECTION,
    TOPICS,
    VERDICTS,
    book_beside,
    figure_section,
    figure_words,
    unit_shown,
)
from .workings import formula_words, tape_words, working_words

Item = Mapping[str, Any]

SPOKEN = ("error", "fails", "engineer", "authority")
"""Verdicts that are given room, the gravest first."""
QUIET = ("silent", "not_applicable")
MET_IN_VIEW = 2
"""So many lines that meet are left in view where they may be folded."""


def blocks(finding: Item) -> bool:
    """Whether this finding alone keeps a certificate from being issued as one."""
    return forces(finding["kind"], finding["verdict"], finding.get("accepted")) == "fix"


def is_open_item(finding: Item) -> bool:
    """Whether an authority's or a designer's word is asked for, or was given, on this finding."""
    return finding["kind"] == "rule" and finding["verdict"] in ("fails", "authority", "engineer")


def last_question(finding: Item) -> str | None:
    """The question measured last of those a finding rests on: its verdict stands under that field."""
    known = [q for q in finding["questions"] if q in ORDER]
    return max(known, key=ORDER.__getitem__) if known else None


def section_of(finding: Item) -> str:
    """The section in which a finding stands: its topic's own, unless none of its questions is asked there."""
    return _section(finding["topic"], tuple(finding["questions"]))


@lru_cache(maxsize=2000)
def _section(topic: str, questions: tuple[str, ...]) -> str:
    home = HOME_SECTION.get(topic, "job")
    if not questions or any(CATALOGUE[q].section == home for q in questions if q in CATALOGUE):
        return home
    last = last_question({"questions": questions})
    return CATALOGUE[last].section if last else home


SPELLED = {"prv": "reducing valve", "csst": "corrugated pipe"}


@lru_cache(maxsize=2000)
def short_name(check: str) -> str:
    """A check's own name for reading: each reads true after "meets".

    >>> short_name("supply.prv_where_needed")
    'Reducing valve where needed'
    """
    words = [SPELLED.get(word, word) for word in check.partition(".")[2].split("_")]
    text = " ".join(words)
    return text[:1].upper() + text[1:]


def called(check: str) -> str:
    """A check's own name for reading, in the language spoken now."""
    return say(short_name(check))


def topic_and_name(check: str) -> str:
    """A check's name that can stand alone.

    >>> topic_and_name("relief.pipe_no_trap")
    'Relief valve: pipe no trap'
    """
    topic, name = check.partition(".")[0], called(check)
    return f"{TOPICS[topic].here}: {name[:1].lower()}{name[1:]}" if topic in TOPICS else name


def side_by_side(finding: Item) -> str:
    """Found and limit, as words: `found 85 psi, at most 80 psi`; empty where the check compares no values.

    Two equal words ("none", "none") say no more than the check's title does and are left out.
    """
    found = found_words(finding)[0]
    if finding["found"] == finding["limit"] and not any(letter.isdigit() for letter in found):
        return ""
    parts = [say("found {found}", found=found) if found else "", limit_words(finding)]
    return ", ".join(part for part in parts if part)


def limit_words(finding: Item) -> str:
    """A limit read out, with which way it bounds; empty where there is none.

    >>> limit_words({"check": "pan.depth", "found": "1", "limit": "1.5", "unit": "in", "verdict": "fails"})
    'at least 1 1/2 in'
    """
    limit = found_words(finding)[1]
    bound = bound_of(finding)
    return f"{say(bound) if bound else bound} {limit}" if limit else ""


def source_html(finding: Item) -> str:
    """Section and book, and how sure the section is where it was not read in the adopted edition."""
    if not finding["section"]:
        return ""
    said = "Confirm in the adopted edition" in finding["why"]
    note = None if said else CONFIDENCE.get(finding["confidence"])
    sure = f' <span class="sure">({escape(note.here)})</span>' if note else ""
    book = book_beside(finding)
    where = escape(say(finding["section"])) + (f", {book_html(book)}" if book else "")
    return f'<span class="section">{where}</span>{sure}'


def word_of(finding: Item) -> str:
    """The verdict's word; advice and what an authority accepted say so."""
    if finding["kind"] == "advice" and finding["verdict"] != "meets":
        return ADVICE.here
    return ACCEPTED.here if finding.get("accepted") else VERDICTS[finding["verdict"]].here


def mark_of(finding: Item) -> str:
    """The verdict whose mark a finding wears."""
    if finding["kind"] == "advice" and finding["verdict"] != "meets":
        return "silent"
    return "authority" if finding.get("accepted") else str(finding["verdict"])


def finding_html(finding: Item, tag: str = "li") -> str:
    """One finding with room: verdict, why, what to do, found and limit, section."""
    head = verdict_html(mark_of(finding), word=word_of(finding))
    mends = finding["verdict"] in (*SPOKEN, "unanswered") and not finding.get("accepted")
    fix = told(finding["check"], finding["fix"]) if mends else ""
    lines = [f'<p class="why">{head} {escape(told(finding["check"], finding["why"]))}</p>']
    if fix:
        lines.append(f'<p class="fix">{escape(fix[:1].upper() + fix[1:])}</p>')
    taken = finding.get("accepted")
    if taken:
        told_of = f"{taken['by']}, {day_words(taken['on'])}: {taken['why']}"
        lines.append(f'<p class="taken">{escape(told_of)}</p>')
    below = "; ".join(part for part in (escape(side_by_side(finding)), source_html(finding)) if part)
    if below:
        lines.append(f'<p class="below">{below}</p>')
    return f'<{tag} class="finding finding-{mark_of(finding)}">{"".join(lines)}</{tag}>'


_SHOWN = tuple("check topic kind verdict title why found limit unit section book confidence".split())


def compact_html(finding: Item) -> str:
    """One finding on a line: title, found and limit, section."""
    return _compact(tuple(finding.get(name) for name in _SHOWN), bool(finding.get("accepted")), spoken())


@lru_cache(maxsize=5000)
def _compact(shown: tuple[Any, ...], accepted: bool, language: str) -> str:
    # Most findings of a job are the same after each keystroke.
    finding = dict(zip(_SHOWN, shown, strict=True)) | {"accepted": accepted}
    below = "; ".join(part for part in (escape(side_by_side(finding)), source_html(finding)) if part)
    quiet = finding["verdict"] in QUIET
    said = told(finding["check"], finding["why"]) if quiet else ""
    # What is not judged is named, never claimed.
    title = (
        f"{TOPICS[finding['topic']].here}: {called(finding['check']).lower()}."
        if quiet
        else told(finding["check"], finding["title"])
    )
    return (
        f'<li class="short">{verdict_html(mark_of(finding), word=word_of(finding))} '
        f"{escape(title)}"
        f"{f' {escape(said)}' if said else ''}{f'<span class=below>{below}</span>' if below else ''}</li>"
    )


def _list(kind: str, items: Iterable[str]) -> str:
    inner = "".join(items)
    return f'<ul class="{kind}">{inner}</ul>' if inner else ""


def _folded(summary: str, items: list[str], kind: str = "shorts") -> str:
    return (
        f'<details class="folded"><summary>{summary}</summary>{_list(kind, items)}</details>' if items else ""
    )


def findings_html(findings: Iterable[Item], brief: bool = False) -> str:
    """A section's findings: what stops first, what asks for a word, what meets compactly, the rest folded.

    brief  what meets is folded to a count too: its verdicts stand under the fields already
    """
    rules = list(findings)
    spoken = [f for v in SPOKEN for f in rules if f["verdict"] == v and f["kind"] == "rule"]
    spoken.sort(key=lambda f: (not blocks(f), not f.get("hazard", False)))
    advised = [f for f in rules if f["kind"] == "advice" and f["verdict"] in SPOKEN]
    met = [f for f in rules if f["verdict"] == "meets"]
    quiet = [f for f in rules if f["verdict"] in QUIET]
    lines = [compact_html(f) for f in met]
    fold = brief and len(met) > MET_IN_VIEW
    many = f"{mark('meets')} {say('{count} meet', count=len(met))}"
    others = say("Not here, or the code is silent: {count}", count=len(quiet))
    return (
        _list("findings", map(finding_html, spoken))
        + (_folded(many, lines) if fold else _list("shorts", lines))
        + _list("findings", map(finding_html, advised))
        + _folded(others, [compact_html(f) for f in quiet])
    )


_FIGURE_ORDER = {name: index for index, name in enumerate(FIGURES)}


def shown_once(figures: Mapping[str, Item]) -> dict[str, Item]:
    """The figures without those that repeat another of their section, number and working alike.

    A tank that is set as it should be reaches one pressure, not two.
    """
    kept: dict[tuple[Any, ...], str] = {}
    for name in sorted(figures, key=lambda one: _FIGURE_ORDER.get(one, len(_FIGURE_ORDER))):
        figure = figures[name]
        same = (figure_section(name), figure["unit"], str(figure["value"]), figure["worked"])
        kept.setdefault(same if figure["worked"] else (name,), name)
    once = set(kept.values())
    return {name: figure for name, figure in figures.items() if name in once}


def figures_html(figures: Mapping[str, Item], section: str, brief: bool = False) -> str:
    """A section's figures with their formula and working, folded to a line each.

    brief  all of them are folded to a count
    """
    rows = []
    for name, figure in shown_once(figures).items():
        if figure_section(name) != section:
            continue
        label, source = escape(figure_words(name).here), told("figures", figure["source"])
        worked = "; ".join(filter(None, (working_words(figure["worked"]), tape_words(figure))))
        lines = filter(None, (formula_words(name, figure["formula"]), worked, source))
        working = "".join(f"<p>{escape(text)}</p>" for text in lines)
        also = told("figures", figure.get("says") or "")
        says = f'<span class="says">{escape(also)}</span>' if also else ""
        rows.append(
            f"<li><details><summary><span>{label}</span> <b>{escape(value_of(figure))}</b>{says}</summary>"
            f'<div class="working">{working}</div></details></li>'
        )
    if brief:
        return _folded(say("Figures and their working: {count}", count=len(rows)), rows, "figures")
    return _list("figures", rows)


NOT_YET = "not yet known"


def value_of(figure: Item) -> str:
    """A figure's value as it is read; a pair as a band, a list with commas."""
    # what gives way first holds it there: what it would be stands in the working alone
    value, unit = figure.get("held_at") or figure["value"], figure["unit"]
    if value is None:
        return ""
    if not is_known(figure):
        return say(NOT_YET)
    if not isinstance(value, list):
        return told("figures", measure(value, unit))
    if "taped" in figure:
        return told("figures", f"{figure['taped']} in")
    shown = unit_shown(unit)
    return f"{', '.join(measure(v, '') for v in value)} {shown}".strip()


def tally_html(count: Mapping[str, int]) -> str:
    """A section's state as mark and words: what is to fix, else to answer, else nothing."""
    if count["fix"]:
        return mark("fails") + say("{count} to fix", count=count["fix"])
    if count["answer"]:
        return mark("unanswered") + say("{count} to answer", count=count["answer"])
    return f'{mark("meets")}<span class="quiet">{say("nothing open")}</span>'
