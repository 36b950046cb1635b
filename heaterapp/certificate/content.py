"""From a filed record to a paper: what is said, in which order. No markup but our own drawings."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from markupsafe import Markup

from heaterapp.rules import CATALOGUE
from heaterapp.rules.units import plain_up
from heaterapp.sheet.answered import accepted, told
from heaterapp.sheet.draw import (
    pressure_svg,
    pressure_words,
    straps_svg,
    straps_words,
    vent_svg,
    vent_words,
)
from heaterapp.sheet.findings import SPOKEN, is_known, is_open_item, measure
from heaterapp.sheet.words import VERDICTS

from . import wording
from .corrected import corrects
from .filed import Filed, bars_certificate
from .findings import (
    MARKS,
    ONE_ROW,
    ROW_LINES,
    absent_of,
    amended_codes,
    bare,
    book_tags,
    check_of,
    codes_of,
    columns_of,
    figures_of,
)
from .ink import strokes_svg
from .paper import Drawing, Key, Paper, Signature
from .parties import Answers, contractor_of, line, named, parties_of
from .photos import kept_of, logo_of, pages_of
from .receipt import receipt_of
from .square import check_link, square_svg
from .style import styled_drawing

Report = Mapping[str, Any]

MOST_KEYS = 5
USUAL_OPENS = 3
KEY_FIGURES = (
    ("precharge_target_psi", "Tank air to set"), ("peak_pressure_psi", "Pressure when hot"),
    ("breaker_min_a", "Breaker, at least"),
    ("heater_amps", "Current drawn"), ("vent_end_needed_in", "Vent above roof, at least"),
)  # fmt: skip
KEY_ANSWERS = (("house_pressure_psi", "House pressure"), ("thermostat_f", "Set temperature"))
NEEDED = "expansion_tank_needed_gal"
PAGE_SIZES = {"letter": "letter", "a4": "A4"}
TALL = Decimal(142)
"""Tank and vent on paper, in the drawings' units: as tall as the curve beside them."""
ROLES = {"installer": "Installer", "office": "Office", "owner": "Contractor"}


def _keys(answers: Answers, report: Report) -> tuple[Key, ...]:
    figures = report["figures"]
    found: list[Key] = []
    tank = answers.get("expansion_device") == "tank"
    if _tank_is_wanted(report):
        _add_figure(found, figures.get(NEEDED), "Expansion tank, at least")
    for name, label in KEY_FIGURES[:2] if tank else ():
        _add_figure(found, figures.get(name), label)
    for name, label in KEY_ANSWERS:
        text = told(answers, name)
        if text and not isinstance(answers.get(name), dict):
            unit = "°F" if text.endswith("°F") else CATALOGUE[name].unit
            found.append(Key(label, text.removesuffix(unit).strip(), unit))
    straps = answers.get("strap_heights_in")
    if isinstance(straps, list) and straps:
        found.append(
            Key(
                "Straps from the floor",
                ", ".join(measure(str(one), "") and bare(str(one), "in") for one in straps),
                "in",
            )
        )
    for name, label in KEY_FIGURES[2:]:
        _add_figure(found, figures.get(name), label)
    return tuple(found[:MOST_KEYS])


def _tank_is_wanted(report: Report) -> bool:
    """A tank of another size is to be fitted: only then is the size a number that the job turns on."""
    wanted = ("expansion.tank_large_enough", "expansion.control_on_closed_system")
    return any(one["check"] in wanted and is_open_item(one) for one in report["findings"])


def _add_figure(found: list[Key], figure: Mapping[str, Any] | None, label: str) -> None:
    if figure is not None and not is_known(figure):
        found.append(Key(label, "", "", figure["says"]))
    elif figure is not None and isinstance(figure["value"], str):
        value = figure["value"] if figure["unit"] != "gal" else plain_up(Decimal(figure["value"]))
        found.append(Key(label, bare(value, figure["unit"]), figure["unit"]))
    elif figure is not None and figure["value"] is None and figure.get("says"):
        found.append(Key(label, "", "", figure["says"]))


def _drawings(answers: Answers, report: Report) -> tuple[Drawing, ...]:
    drawn = (
        (straps_svg(answers, report, TALL), straps_words(answers, report)),
        (pressure_svg(answers, report), pressure_words(answers, report)),
        (vent_svg(answers, report, TALL), vent_words(answers, report)),
    )
    kept = [(styled_drawing(svg), tuple(said)) for svg, said in drawn if svg]
    return tuple(Drawing(Markup(svg), said) for svg, said in kept)  # noqa: S704 - ours, words escaped


def _assumed(report: Report) -> tuple[str, ...]:
    return tuple(
        f"{CATALOGUE[name].label} {measure(value, CATALOGUE[name].unit)}"
        if name in CATALOGUE
        else f"{name} {value}"
        for name, value in sorted(report.get("assumed", {}).items())
    )


def _flags(report: Report) -> tuple[str, ...]:
    return tuple(
        f"{CATALOGUE[one['question']].label}: {one['says']}"
        for one in report.get("flags", ())
        if one["question"] in CATALOGUE
    )


def _usual(answers: Answers) -> tuple[str, ...]:
    return tuple(f"{CATALOGUE[name].label}: {told(answers, name)}" for name in accepted(answers))


def _cautions(answers: Answers) -> tuple[tuple[str, str], ...]:
    kind = str(answers.get("heater_kind", ""))
    has = {
        "all": True,
        "gas": "gas" in kind or kind == "indirect",
        "fuel": "gas" in kind or kind == "indirect",
        "electric": "electric" in kind or kind == "heat_pump_storage",
        "storage": "storage" in kind or kind == "indirect",
        "strapped": answers.get("strap_kind") not in (None, "", "none"),
    }
    return tuple((one.lead, one.text) for one in wording.CAUTIONS if has[one.about])


def _signatures(filed: Filed, answers: Answers) -> tuple[Signature, ...]:
    given = json.loads(filed.signature)["signatures"] if filed.signature else []
    found = []
    for one in given:
        if one.get("role") == "homeowner":
            found.append(receipt_of(one))
            continue
        ink = strokes_svg(one)
        method = "drawn" if ink else "typed" if one.get("method") != "paper" else "on paper"
        hashed = str(one.get("answers_sha256") or "")[:64]
        how = line(
            f"Signed {wording.moment(one.get('at'))},".replace(" ,", ","),
            method + ".",
            wording.ELECTRONIC,
            named("Answers SHA-256", hashed),
        )
        found.append(
            Signature(
                str(one.get("name") or "")[:200],
                wording.LOOKED_OVER
                if filed.kind == "findings_report"
                else ROLES.get(str(one.get("role")), str(one.get("role") or "Installer")[:60]),
                str(one.get("statement") or "")[:1000],
                how,
                Markup(ink),  # noqa: S704 - whole numbers only
            )
        )
    return tuple(found)


def _counted(findings: list[Mapping[str, Any]]) -> str:
    rules = [one for one in findings if one["kind"] == "rule"]
    words = (
        ("meets", "meet"), ("fails", "to fix"), ("unanswered", "to answer"),
        ("authority", "for the authority"),
        ("engineer", "need a design"), ("error", "broken"), ("not_applicable", "not here"),
        ("silent", "code silent"),
    )  # fmt: skip
    counted = [(sum(one["verdict"] == verdict for one in rules), word) for verdict, word in words]
    return ", ".join(f"{count} {word}" for count, word in counted if count)


def _replaces(filed: Filed) -> str:
    if not filed.replaces_number:
        return ""
    if corrected := corrects(filed):
        return corrected
    return f"Replaces {filed.replaces_number}" + (f": {filed.reason}" if filed.reason else "")


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
        return tuple(check_of(one, tags, room=True) for one in chosen)

    address = str(filed.context.get("check_address", ""))[:200]
    contractor, contractor_lines = contractor_of(answers, filed)
    firm_settings = filed.organisation.get("settings") or {}
    used = {
        one["confidence"]
        for one in findings
        if one["section"] and one["verdict"] not in ("not_applicable", "silent")
    }
    opens = [one for one in rules if is_open_item(one) and not bars_certificate(one)]
    usual = filed.kind == "certificate" and len(opens) <= USUAL_OPENS
    row_lines = ONE_ROW if usual else ROW_LINES
    hazard = any(one.get("hazard") and one["verdict"] == "fails" for one in findings)
    return Paper(
        kind=filed.kind,
        title=wording.TITLES[filed.kind],
        face=wording.FACES[filed.kind],
        number=filed.number,
        revision=str(filed.revision),
        replaces=_replaces(filed),
        issued=wording.moment(filed.issued_at),
        issued_iso=filed.issued_at,
        page_size=PAGE_SIZES.get(str(firm_settings.get("paper", "letter")).lower(), "letter"),
        contractor=contractor,
        contractor_lines=contractor_lines,
        parties=parties_of(answers, filed),
        codes=amended_codes(codes_of(findings, tags), report.get("amended_by") or {}),
        records=wording.RECORDS[filed.kind],
        limits=wording.LIMITS,
        stop=wording.STOP if hazard else "",
        keys=_keys(answers, report),
        fixes=roomy(one for one in rules if bars_certificate(one) and one["verdict"] != "unanswered"),
        unanswered=roomy(one for one in rules if one["verdict"] == "unanswered"),
        opens=roomy(opens),
        advice=roomy(one for one in advised if one["verdict"] in SPOKEN),
        columns=columns_of([one for one in findings if one["verdict"] == "meets"], tags, row_lines),
        not_here=absent_of(one for one in findings if one["verdict"] == "not_applicable"),
        not_here_mark=MARKS["not_applicable"],
        not_here_word=VERDICTS["not_applicable"].en,
        silent=tuple(check_of(one, tags) for one in findings if one["verdict"] == "silent"),
        figures=figures_of(report),
        drawings=_drawings(answers, report),
        assumed=_assumed(report),
        usual=_usual(answers),
        flags=_flags(report),
        sureness=tuple(f"{sign} {text}." for kind, (sign, text) in wording.SURENESS.items() if kind in used),
        cautions=_cautions(answers),
        signatures=_signatures(filed, answers),
        photo_pages=pages_of(filed.photos),
        logo=logo_of(filed.logo, contractor),
        photos_kept=kept_of(filed.photos),
        counts=_counted(findings),
        check_code=filed.check_code,
        check_address=address,
        square=square_svg(check_link(address, filed.number, filed.check_code)),
        content_digest=filed.content_digest,
        previous_head=filed.previous_head,
        ruleset=f"{filed.ruleset_version} {filed.ruleset_digest[:16]}",
        footer=line(wording.TITLES[filed.kind], filed.number, f"revision {filed.revision}"),
    )  # fmt: skip
