"""From a filed record to a paper: what is said, in which order. No markup but our own drawings."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from heaterapp.languages import say, spoken
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.answered import accepted, told
from heaterapp.sheet.draw import (
    house_svg,
    pressure_svg,
    pressure_words,
    straps_svg,
    straps_words,
    vent_svg,
    vent_words,
)
from heaterapp.sheet.findings import SPOKEN, is_open_item
from heaterapp.sheet.words import VERDICTS

from . import wording
from .cautions import placed
from .corrected import corrects
from .figures import figures_of, with_unit
from .filed import Filed, bars_certificate
from .findings import (
    absent_of,
    amended_codes,
    book_tags,
    check_of,
    codes_of,
    met_of,
    read_in,
)
from .hazards import hazard_said, worded
from .keys import keys_of
from .lettering import English
from .marks import mark_of
from .paper import Drawing, Paper
from .parties import Answers, contractor_of, line, parties_of
from .photos import kept_of, logo_of, pages_of
from .replaced import replaces
from .saying import built, foreign, joined, own
from .signatures import signatures_of
from .square import check_link, square_svg
from .style import styled_drawing

Report = Mapping[str, Any]

PAGE_SIZES = {"letter": "letter", "a4": "A4"}
SIZE = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')
TALL = Decimal(142)
"""Tank and vent on paper, in the drawings' units: as tall as the curve beside them."""


def _drawings(answers: Answers, report: Report) -> tuple[Drawing, ...]:
    drawn = (
        (straps_svg(answers, report, TALL), straps_words(answers, report)),
        (pressure_svg(answers, report), pressure_words(answers, report)),
        (vent_svg(answers, report, TALL), vent_words(answers, report)),
    )
    spare = house_svg(answers, report)
    kept = [
        (styled_drawing(svg), [built("draw", one) for one in said], svg == spare)
        for svg, said in drawn
        if svg
    ]
    return tuple(
        Drawing(Markup(svg), tuple(map(with_unit, said)), _share(svg), more)  # noqa: S704 - words escaped
        for svg, said, more in kept
    )


def _share(svg: str) -> float:
    found = SIZE.search(svg)
    return float(found[2]) / float(found[1]) if found else 0.5


def _assumed(report: Report) -> tuple[str, ...]:
    return tuple(
        f"{say(CATALOGUE[name].label)}: {told({name: value}, name)}"
        if name in CATALOGUE
        else f"{name} {value}"
        for name, value in sorted(report.get("assumed", {}).items())
    )


def _flags(report: Report) -> tuple[str, ...]:
    return tuple(
        joined(": ", (say(CATALOGUE[one["question"]].label), built("common", one["says"])))
        for one in report.get("flags", ())
        if one["question"] in CATALOGUE
    )


def _usual(answers: Answers) -> tuple[str, ...]:
    return tuple(f"{say(CATALOGUE[name].label)}: {told(answers, name)}" for name in accepted(answers))


def _counted(findings: list[Mapping[str, Any]]) -> str:
    """How many of the paper's findings came out how: those of the codes, then those of good practice."""
    codes = _by_verdict(one for one in findings if one["kind"] != "advice")
    practice = _by_verdict(one for one in findings if one["kind"] == "advice")
    return "; ".join(filter(None, (codes, own(wording.PRACTICE, counts=practice) if practice else "")))


def _by_verdict(findings: Any) -> str:
    many = Counter(map(_counted_as, findings))
    said = {**wording.COUNTS, **{name: one for name, one in wording.ONE.items() if many[name] == 1}}
    return ", ".join(own(words, count=many[name]) for name, words in said.items() if many[name])


def _counted_as(finding: Mapping[str, Any]) -> str:
    if finding.get("accepted"):
        return "accepted"
    if finding["kind"] != "advice":
        return str(finding["verdict"])
    if finding["verdict"] in SPOKEN:
        return "advised"
    # No paper waits for an answer on good practice.
    return "open" if finding["verdict"] == "unanswered" else str(finding["verdict"])


def _is_of_code(finding: Mapping[str, Any]) -> bool:
    """Whether a code's section asks it: makers, data plates, agencies' guides and the trade have none."""
    return finding["confidence"] != "practice" and any(letter.isdigit() for letter in finding["section"])


def _met_counts(met: list[Mapping[str, Any]]) -> str:
    advised = sum(one["kind"] == "advice" for one in met)
    rules = sum(one["kind"] != "advice" and _is_of_code(one) for one in met)
    counts = {"count": len(met), "rules": rules, "others": len(met) - advised - rules, "advised": advised}
    if counts["others"]:
        return own(wording.MET_BESIDE, **counts)
    return own(wording.MET, **counts) if advised else str(len(met))


def _codes(findings: list[Mapping[str, Any]], tags: Mapping[str, str], report: Report) -> tuple[str, ...]:
    """The books by the titles that they have; a title of our own is told in the paper's language."""
    cited = codes_of(findings, tags)
    told = amended_codes(cited, report.get("amended_by") or {})
    return tuple(_titled(one, tags) if one in cited else one for one in told)


def _titled(code: str, tags: Mapping[str, str]) -> str:
    title = max((one for one in tags if code.endswith(one)), key=len, default=code)
    said = own(title)
    return foreign(code) if isinstance(said, English) else code.removesuffix(title) + said


def _sureness(used: set[str], findings: list[Mapping[str, Any]]) -> tuple[str, ...]:
    said = {kind: f"{sign} {own(text)}." for kind, (sign, text) in wording.SURENESS.items() if kind in used}
    books = read_in(findings)
    if "carried" in said and books:
        where = joined("", (own("To fix, read in:"), " ", books, "."))
        said["carried"] = joined(" ", (said["carried"], where))
    return tuple(said.values())


def paper_of(filed: Filed) -> Paper:
    """Say everything a record has to say on paper.

    raises  NotReady for a certificate that its report does not allow
    """
    report, answers = filed.judged(), filed.answers()
    findings = report["findings"]
    tags = book_tags(findings)
    rules = [one for one in findings if one["kind"] == "rule"]
    advised = [one for one in findings if one["kind"] == "advice"]

    def roomy(chosen: Any) -> tuple[Any, ...]:
        return tuple(
            worded(replace(check_of(one, tags, room=True), cautions=said.get(id(one), ())), one, answers)
            for one in chosen
        )

    address = str(filed.context.get("check_address", ""))[:200]
    contractor, contractor_lines = contractor_of(answers, filed)
    used = {
        one["confidence"]
        for one in findings
        if one["section"] and one["verdict"] not in ("not_applicable", "silent")
    }
    excepted = [one for one in rules if one.get("accepted")]
    opens = [
        one
        for one in rules
        if is_open_item(one) and not bars_certificate(one) and not one.get("accepted")
    ]
    fixes = [one for one in rules if bars_certificate(one) and one["verdict"] != "unanswered"]
    fixes.sort(key=lambda one: not one.get("hazard", False))
    met = [one for one in findings if one["verdict"] == "meets"]
    said, headed, left = placed(answers, [*fixes, *opens, *excepted], [one["topic"] for one in met])
    hazard = any(one.get("hazard") and one["verdict"] == "fails" for one in findings)
    title = own(wording.TITLES[filed.kind])
    return Paper(
        kind=filed.kind,
        language=spoken(),
        title=title,
        face=own(wording.FACES[filed.kind]),
        number=filed.number,
        revision=str(filed.revision),
        replaces=(filed.replaces_number and corrects(filed)) or replaces(filed),
        issued=wording.moment(filed.issued_at, filed.settings),
        issued_iso=filed.issued_at,
        page_size=PAGE_SIZES.get(str(filed.settings.get("paper", "letter")).lower(), "letter"),
        contractor=contractor,
        contractor_lines=contractor_lines,
        parties=parties_of(answers, filed),
        codes=_codes(findings, tags, report),
        records=own(wording.RECORDS[filed.kind]),
        limits=own(wording.LIMITS),
        stop=own(wording.STOP) if hazard else "",
        hazard=hazard_said(answers),
        keys=keys_of(answers, report),
        fixes=roomy(fixes),
        unanswered=roomy(one for one in rules if one["verdict"] == "unanswered"),
        opens=roomy(opens),
        excepted=roomy(excepted),
        advice=roomy(one for one in advised if one["verdict"] in SPOKEN),
        met=met_of(met, tags, headed),
        met_counts=_met_counts(met),
        not_answered=absent_of(one for one in advised if one["verdict"] == "unanswered"),
        not_answered_mark=mark_of("unanswered"),
        not_here=absent_of(one for one in findings if one["verdict"] == "not_applicable"),
        not_here_mark=mark_of("not_applicable"),
        not_here_word=VERDICTS["not_applicable"].here,
        silent=tuple(check_of(one, tags) for one in findings if one["verdict"] == "silent"),
        figures=figures_of(report),
        drawings=_drawings(answers, report),
        assumed=_assumed(report),
        usual=_usual(answers),
        flags=_flags(report),
        sureness=_sureness(used, findings),
        cautions=left,
        signatures=signatures_of(filed),
        photo_pages=pages_of(filed.photos, filed.settings),
        logo=logo_of(filed.logo, contractor),
        photos_kept=kept_of(filed.photos),
        counts=_counted(findings),
        check_code=filed.check_code,
        check_address=address,
        square=square_svg(check_link(address, filed.number, filed.check_code)),
        content_digest=filed.content_digest,
        previous_head=filed.previous_head,
        ruleset=f"{filed.ruleset_version} {filed.ruleset_digest[:16]}",
        footer=line(title, filed.number, own("revision {number}", number=filed.revision)),
    )  # fmt: skip
