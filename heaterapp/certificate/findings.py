"""Findings and figures of a report as they stand on paper."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from heaterapp.rules import TOPICS as TOPIC_ORDER
from heaterapp.sheet.bounds import bound_of as bound_of
from heaterapp.sheet.bounds import found_words, measure
from heaterapp.sheet.draw.given import number
from heaterapp.sheet.findings import NOT_YET, is_known, short_name, shown_once
from heaterapp.sheet.marks import mark
from heaterapp.sheet.words import ADVICE, FIGURES, TOPICS, VERDICTS, figure_words, unit_shown

from .lettering import width
from .paper import Check, Topic, Working
from .wording import SURENESS

Item = Mapping[str, Any]
Entry = tuple[str, Check, int]
"""A topic, one of its checks, and the lines that it takes."""
CONTINUED = ", continued"

LETTER, NAME_WIDTH, VALUE_WIDTH, TOPIC_LINES = 7.0, 112.5, 148.0, 1.3
"""The compact list: letters and two zones in points, a topic's heading in lines; as in certificate.css."""
BOLDER = 1.08
"""How much wider the bold is than the regular face, about."""
ROW_LINES, ONE_ROW = 44, 140
"""From so many lines on, left and right together, a row of the list ends with its topic: a page ends between
rows. The list of a usual certificate is one row, which stands whole on its second page."""
SAID_OTHERWISE = {
    "gas.leak_test": {"passed": "no leak"},
    "relief.lever_works": {"passed": "works"},
}
"""Check -> words that are an answer on the form and would sound like a verdict of the whole on paper."""
INKS = {
    "meets": "#145A4C",
    "fails": "#8E2F12",
    "error": "#8E2F12",
    "authority": "#6B4E00",
    "engineer": "#6B4E00",
}
SLATE = "#45505A"
SHAPES = {
    "meets": "Disc", "fails": "Square", "authority": "Half disc", "engineer": "Triangle",
    "unanswered": "Ring", "silent": "Dash", "not_applicable": "Dot", "error": "Cross",
}  # fmt: skip
"""What a mark is called by who reads the paper aloud; the verdict's word stands after it."""


def _inked(verdict: str) -> Markup:
    ink = INKS.get(verdict, SLATE)
    svg = mark(verdict).replace('class="solid"', f'fill="{ink}"')
    svg = svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ')
    svg = svg.replace(">", f"><title>{SHAPES[verdict]}</title>", 1)
    svg = svg.replace('class="line"', f'fill="none" stroke="{ink}" stroke-width="2"')
    return Markup(svg)  # noqa: S704 - our own shapes, no word of anybody's


MARKS = {verdict: _inked(verdict) for verdict in VERDICTS}
_EDITION = re.compile(r"(?P<words>.*) (?P<year>[0-9]{4})\Z")


def book_tags(findings: Iterable[Item]) -> dict[str, str]:
    """Every cited book -> the short name its sections carry on this paper.

    >>> book_tags([{"book": "Uniform Plumbing Code 2021", "confidence": "read"}])
    {'Uniform Plumbing Code 2021': 'UPC'}
    """
    tags: dict[str, str] = {}
    for one in findings:
        title = one["book"]
        if not title or title in tags or one["confidence"] == "practice":
            continue
        edition = _EDITION.fullmatch(title)
        words = (edition["words"] if edition else "").replace("-", " ").split()
        short = "".join(word[0] for word in words if word[0].isupper())
        unique = len(short) >= 2 and short not in tags.values()
        tags[title] = short if unique else f"[{len(tags) + 1}]"
    return tags


def _tag(finding: Item, tags: Mapping[str, str]) -> str:
    tag = tags.get(finding["book"], "")
    section, title = (set(finding[key].casefold().split()) for key in ("section", "book"))
    says_itself = finding["confidence"] == "practice" or section & title
    return "" if tag.startswith("[") and says_itself else tag


def codes_of(findings: Iterable[Item], tags: Mapping[str, str]) -> tuple[str, ...]:
    """The cited books, each behind the short name that its sections carry, where they carry one."""
    used = {_tag(one, tags) for one in findings}
    return tuple(f"{tag} {title}" if tag in used else title for title, tag in tags.items())


def amended_codes(codes: Iterable[str], amended_by: Mapping[str, str]) -> tuple[str, ...]:
    """The codes with the organisation's own amendments named by version and date, cited or not.

    A set that only strikes clauses is cited by no finding, and the paper must name it all the same.

    >>> amended_codes(["[2] Own rules"], {"title": "Own rules", "version": "3", "on": "2026-11-01"})
    ('[2] Own rules, version 3, in force 2026-11-01',)
    >>> amended_codes(["UPC"], {"title": "Own rules", "version": "3", "on": "2026-11-01"})
    ('UPC', 'Own rules, version 3, in force 2026-11-01')
    """
    if not amended_by:
        return tuple(codes)
    title = amended_by["title"]
    whole = f"{title}, version {amended_by['version']}, in force {amended_by['on']}"
    told = [
        code.removesuffix(title) + whole if code == title or code.endswith(f"] {title}") else code
        for code in codes
    ]
    return tuple(told if told != list(codes) else [*told, whole])


def check_of(finding: Item, tags: Mapping[str, str], room: bool = False) -> Check:
    """One finding for print; with `room`, the sentence and the remedy too."""
    otherwise = SAID_OTHERWISE.get(finding["check"], {})
    found, limit = (otherwise.get(one, one) for one in found_words(finding))
    if not found and not limit and finding["verdict"] == "meets":
        found = finding["why"].removesuffix(".")
    sign = SURENESS.get(finding["confidence"], ("",))[0]
    cite = f"{_tag(finding, tags)} {finding['section']}".strip() + sign if finding["section"] else ""
    accepted = finding.get("accepted") or {}
    advice = finding["kind"] == "advice"
    word = ADVICE.en if advice and finding["verdict"] != "meets" else VERDICTS[finding["verdict"]].en
    if found == limit and number(finding["limit"]) is None:
        limit = ""
    return Check(
        finding["verdict"],
        word,
        MARKS[finding["verdict"]],
        finding["title"].removesuffix(".") if finding["verdict"] == "meets" else short_name(finding["check"]),
        found,
        limit,
        cite,
        finding["why"] if room else "",
        finding["fix"] if room and finding["verdict"] != "unanswered" else "",
        f"Accepted by {accepted['by']} on {accepted['on']}: {accepted['why']}" if accepted else "",
        short_name(finding["check"]),
        width(f"● {short_name(finding['check'])} ", LETTER) > NAME_WIDTH,
        bound_of(finding),
    )


def columns_of(
    findings: Iterable[Item], tags: Mapping[str, str], row_lines: int = ROW_LINES
) -> tuple[tuple[tuple[Topic, ...], ...], ...]:
    """Findings by topic, in the order of a job: rows of whole topics, each in two columns alike in height."""
    by_topic: dict[str, list[Check]] = {}
    for one in findings:
        by_topic.setdefault(one["topic"], []).append(check_of(one, tags))
    ordered = sorted(
        by_topic, key=lambda name: TOPIC_ORDER.index(name) if name in TOPIC_ORDER else len(TOPIC_ORDER)
    )
    rows: list[list[Entry]] = [[]]
    high = 0.0
    for name in ordered:
        if high >= row_lines:
            rows.append([])
            high = 0.0
        entries = [(name, check, _lines(check)) for check in by_topic[name]]
        rows[-1] += entries
        high += TOPIC_LINES + sum(lines for _, _, lines in entries)
    return tuple(_side_by_side(row) for row in rows if row)


def _heights(entries: Iterable[Entry]) -> list[float]:
    """Lines of a column that holds none of these, the first, the first two, and so on."""
    heights, before = [0.0], ""
    for name, _, lines in entries:
        heights.append(heights[-1] + lines + (TOPIC_LINES if name != before else 0))
        before = name
    return heights


def _side_by_side(entries: list[Entry]) -> tuple[tuple[Topic, ...], ...]:
    left, right = _heights(entries), _heights(reversed(entries))[::-1]
    split = min(range(1, len(entries) + 1), key=lambda at: (max(left[at], right[at]), -at))
    before = entries[split - 1][0]
    return tuple(filter(None, (_by_topic(entries[:split]), _by_topic(entries[split:], before))))


def _by_topic(entries: list[Entry], before: str = "") -> tuple[Topic, ...]:
    found: dict[str, list[Check]] = {}
    for name, check, _ in entries:
        found.setdefault(name, []).append(check)
    return tuple(
        Topic(topic_words(name) + (CONTINUED if name == before else ""), tuple(checks))
        for name, checks in found.items()
    )


def _lines(check: Check) -> float:
    limit = f", {check.bound} {check.limit}" if check.limit else ""
    beside = width(check.found, LETTER) * BOLDER + width(f"{limit} {check.cite}", LETTER)
    return check.wide + math.ceil(beside / VALUE_WIDTH)


def topic_words(name: str) -> str:
    """A topic's words; one that has none yet is called by its own name."""
    return TOPICS[name].en if name in TOPICS else name


def absent_of(findings: Iterable[Item]) -> tuple[tuple[str, str], ...]:
    """What this installation does not have: topic, and the short names of its checks."""
    by_topic: dict[str, list[str]] = {}
    for one in findings:
        by_topic.setdefault(one["topic"], []).append(short_name(one["check"]).lower())
    return tuple((topic_words(name), ", ".join(names)) for name, names in by_topic.items())


def shown(value: Any, unit: str) -> str:
    """A figure's value for reading: each of several by itself, the unit once behind.

    >>> shown(["18.00", "36.00"], "in"), shown("60.0", "psi"), shown("0.564", "gal"), shown("29.5", "deg")
    ('18 to 36 in', '60 psi', '0.564 gal', '29.5°')
    """
    return "".join(parted(value, unit))


def parted(value: Any, unit: str) -> tuple[str, str]:
    """The same as its number, and its unit with the space before it.

    >>> parted("60.0", "psi"), parted("29.5", "deg"), parted(None, "in")
    (('60', ' psi'), ('29.5', '°'), ('', ''))
    """
    if value is None:
        return "", ""
    several = value if isinstance(value, list) else [value]
    texts = [bare(one, unit) for one in several]
    joined = " to ".join(texts) if len(texts) == 2 and unit == "in" else ", ".join(texts)
    end = unit_shown(unit)
    return joined, end if end.startswith("°") or not end else f" {end}"


def bare(value: str, unit: str) -> str:
    """A number without its unit, needless zeros and all."""
    text = value.rstrip("0").rstrip(".") if "." in value else value
    end = unit_shown(unit)
    return measure(text, unit).removesuffix(end).strip() if end else measure(text, unit)


def figures_of(report: Mapping[str, Any]) -> tuple[Working, ...]:
    """Every figure with its formula and working, each once."""
    order = {name: index for index, name in enumerate(FIGURES)}
    figures = shown_once(report["figures"])
    named = sorted(figures.items(), key=lambda item: (order.get(item[0], len(order)), item[0]))
    return tuple(
        Working(
            figure_words(name).en,
            *(parted(one["value"], one["unit"]) if is_known(one) else (NOT_YET, "")),
            one["formula"] if one["worked"] else "",
            one["worked"],
            one.get("says", ""),
            one["source"],
        )
        for name, one in named
    )
