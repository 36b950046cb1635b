"""Findings and figures of a report as they stand on paper."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from heaterapp.firm_clock import day_words
from heaterapp.languages import SOURCE, catalogue, speaking, spoken
from heaterapp.languages.patterns import wordless
from heaterapp.rules import TOPICS as TOPIC_ORDER
from heaterapp.sheet.bounds import bound_of as bound_of
from heaterapp.sheet.bounds import found_words
from heaterapp.sheet.draw.given import number
from heaterapp.sheet.findings import short_name
from heaterapp.sheet.words import ACCEPTED, ADVICE, TOPICS, VERDICTS, book_beside

from .columns import LETTER, NAME_WIDTH
from .lettering import English, width
from .marks import mark_of
from .paper import Caution, Check, Topic
from .saying import built, foreign, joined, like, lowered, own, unstopped
from .wording import ABOUT, ADVISED, SURENESS
from .wrapping import MARK

Item = Mapping[str, Any]
READ_IN = re.compile(r" \(Read in: (.*)\. Confirm in the adopted edition\.\)")
"""What the dagger's note says once for all."""
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
    tag = tags.get(book_beside(finding), "")
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
    ('[2] Own rules, version 3, in force 1 Nov 2026',)
    >>> amended_codes(["UPC"], {"title": "Own rules", "version": "3", "on": "2026-11-01"})
    ('UPC', 'Own rules, version 3, in force 1 Nov 2026')
    """
    if not amended_by:
        return tuple(codes)
    title = amended_by["title"]
    named = {"title": title, "version": amended_by["version"], "day": day_words(amended_by["on"])}
    whole = own("{title}, version {version}, in force {day}", **named)
    told = [
        code.removesuffix(title) + whole if code == title or code.endswith(f"] {title}") else code
        for code in codes
    ]
    return tuple(told if told != list(codes) else [*told, whole])


def name_of(finding: Item) -> str:
    """What a finding is called: by its check, or by its own name where its check's would contradict it."""
    advised = finding["kind"] == "advice" and finding["verdict"] != "meets"
    own_name = ADVISED.get(finding["check"]) if advised else None
    about = ABOUT.get(finding["check"]) if finding["verdict"] != "meets" else None
    return own_name or about or short_name(finding["check"])


def read_in(findings: Iterable[Item]) -> str:
    """Where clauses were read that are cited from another edition, each once; empty where none is told.

    >>> why = "Too hot. (Read in: UPC 2012. Confirm in the adopted edition.)"
    >>> one = {"why": why, "confidence": "carried"}
    >>> read_in([one, one])
    'UPC 2012'
    >>> read_in([one, {**one, "why": why.replace("2012", "2012; cells as in IRC 2018")}, one])
    'UPC 2012; cells as in IRC 2018'
    """
    told = (READ_IN.search(one["why"]) for one in findings if one["confidence"] == "carried")
    tails: dict[str, dict[str, str]] = {}
    for text in dict.fromkeys(one[1] for one in told if one):
        said = own(text)
        parts = zip(text.split("; "), (like(said, part) for part in said.split("; ")), strict=True)
        head, first = next(parts)
        tails.setdefault(head, {head: first}).update(parts)
    beside = {edition for head in tails if " and " in head for edition in head.split(" and ")}
    kept = (parts.values() for head, parts in tails.items() if head not in beside or len(parts) > 1)
    return joined("; ", (part for parts in kept for part in parts))


def check_of(finding: Item, tags: Mapping[str, str], room: bool = False) -> Check:
    """One finding for print; with `room`, the sentence and the remedy too."""
    check, title, why = finding["check"], finding["title"], finding["why"]
    found, limit = _compared(finding)
    if not found and not limit and finding["verdict"] == "meets":
        found = unstopped(built(check, why))
    sign = SURENESS.get(finding["confidence"], ("",))[0]
    section = own(finding["section"])
    cite = like(section, f"{_tag(finding, tags)} {section}".strip() + sign) if section else ""
    accepted = dict(finding.get("accepted") or {})
    if accepted:
        accepted["on"] = day_words(str(accepted["on"]))
    advice = finding["kind"] == "advice"
    stands = finding["verdict"] in ("meets", "silent") or not advice
    word = VERDICTS[finding["verdict"]].here if stands else ADVICE.here
    if accepted:
        word = ACCEPTED.here
    name = own(name_of(finding))
    if finding["found"] == finding["limit"] and number(finding["limit"]) is None:
        limit = ""
    return Check(
        finding["verdict"],
        word,
        mark_of("authority" if accepted else "silent" if advice and not stands else finding["verdict"]),
        unstopped(built(check, title)) if finding["verdict"] == "meets" else name,
        found,
        limit,
        cite,
        _why(finding) if room else "",
        built(check, finding["fix"]) if room and finding["verdict"] != "unanswered" and not accepted else "",
        own("Accepted by {by} on {on}: {why}", **accepted) if accepted else "",
        name,
        width(name, LETTER) + LETTER * MARK[advice] > NAME_WIDTH,
        own(bound_of(finding)),
        advice,
    )


def _why(finding: Item) -> str:
    """The sentence of a finding, without the words that already head what is to answer."""
    dagger = finding["confidence"] == "carried" and finding["section"]
    said = built(finding["check"], READ_IN.sub("", finding["why"]) if dagger else finding["why"])
    if finding["verdict"] != "unanswered":
        return said
    head = "To answer: " if isinstance(said, English) else f"{own('To answer')}: "
    first, *rest = said.split(head)
    return like(said, first + "".join(one[:1].upper() + one[1:] for one in rest))


def _compared(finding: Item) -> tuple[str, ...]:
    """Found and limit as they are read; words that nobody translated stand in English."""
    here = found_words(finding)
    with speaking(SOURCE):
        plain = found_words(finding)
    return tuple(_known(finding["check"], one, said) for one, said in zip(plain, here, strict=True))


def _known(check: str, plain: str, said: str) -> str:
    if spoken() == SOURCE or said != plain or wordless(plain):
        return said
    return said if catalogue(spoken()).sentence(check, plain) else English(said)


def met_of(
    findings: Iterable[Item], tags: Mapping[str, str], beside: Mapping[str, tuple[Caution, ...]]
) -> tuple[Topic, ...]:
    """Findings that meet by topic, in the order of a job.

    beside  topic -> the cautions that stand at its head
    """
    by_topic: dict[str, list[Check]] = {}
    for one in findings:
        by_topic.setdefault(one["topic"], []).append(check_of(one, tags))
    last = len(TOPIC_ORDER)
    ordered = sorted(by_topic, key=lambda name: TOPIC_ORDER.index(name) if name in TOPIC_ORDER else last)
    return tuple(Topic(topic_words(name), tuple(by_topic[name]), beside.get(name, ())) for name in ordered)


def topic_words(name: str) -> str:
    """A topic's words; one that has none yet is called by its own name."""
    return TOPICS[name].here if name in TOPICS else foreign(name)


def absent_of(findings: Iterable[Item]) -> tuple[tuple[str, str], ...]:
    """What is told by its name alone: topic, and the short names of its checks."""
    by_topic: dict[str, list[str]] = {}
    for one in findings:
        by_topic.setdefault(one["topic"], []).append(lowered(own(name_of(one))))
    return tuple((topic_words(name), joined(", ", names)) for name, names in by_topic.items())
