"""From a filed record to a paper: what is said, in which order. No markup but our own drawings."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from heaterapp.rules import CATALOGUE
from heaterapp.sheet.draw import pressure_svg, pressure_words, straps_svg, straps_words
from heaterapp.sheet.findings import is_open_item, measure
from heaterapp.sheet.words import VERDICTS

from . import wording
from .filed import Filed, bars_certificate
from .findings import MARKS, absent_of, bare, book_tags, check_of, codes_of, columns_of, figures_of
from .ink import strokes_svg
from .paper import Drawing, Field, Key, Paper, Signature
from .style import styled_drawing

Answers = Mapping[str, Any]
Report = Mapping[str, Any]

MOST_KEYS = 5
KEY_FIGURES = (
    ("precharge_target_psi", "Tank air to set"), ("peak_pressure_psi", "Pressure when hot"),
    ("expansion_tank_needed_gal", "Expansion tank, at least"), ("breaker_min_a", "Breaker, at least"),
    ("heater_amps", "Current drawn"), ("vent_end_needed_in", "Vent above roof, at least"),
)  # fmt: skip
KEY_ANSWERS = (("house_pressure_psi", "House pressure"), ("thermostat_f", "Set temperature"))
PAGE_SIZES = {"letter": "letter", "a4": "A4"}
ROLES = {"installer": "Installer", "office": "Office", "owner": "Contractor"}


def told(answers: Answers, name: str) -> str:
    """An answer as it is read, with its unit; what could not be measured says why; empty when open."""
    value = answers.get(name)
    question = CATALOGUE[name]
    if isinstance(value, dict):
        return f"could not be measured: {value.get('could_not_measure', '')}"
    if value in (None, ""):
        return ""
    if isinstance(value, list):
        return ", ".join(measure(str(one), question.unit) for one in value)
    text = str(value)
    if question.choices:
        return question.choices.get(text, text.replace("_", " "))
    return measure(text, question.unit) if question.kind == "number" else text


def _line(*parts: str, between: str = " ") -> str:
    return between.join(part for part in parts if part)


def _named(label: str, text: str) -> str:
    return f"{label} {text}" if text else ""


def _parties(answers: Answers, filed: Filed) -> tuple[Field, ...]:
    def a(name: str) -> str:
        return told(answers, name)

    town = _line(a("address_city"), _line(a("address_state"), a("address_zip")), between=", ")
    where = (a("address_street"), _named("Unit", a("address_unit")), town, _named("Room:", a("room").lower()))
    who = (a("owner_name"), a("building_kind"), _named("Elevation", a("elevation_ft")))
    heater = (
        _line(a("heater_maker"), a("heater_model")),
        _named("Serial", a("heater_serial")),
        _line(a("heater_kind"), a("storage_gal"), a("input_btuh") or a("input_kw"), between=", "),
        _named("Working pressure", a("working_pressure_psi")),
    )
    permit = (
        _line(a("permit_status"), a("permit_number")) or "Not stated",
        _named("Work done", a("work_date")),
        _line(
            _named("Installer", a("installer_name") or str(filed.issued_by.get("name", ""))),
            a("installer_licence"),
        ),
        a("job_kind"),
    )
    named = (("Where", where), ("For", who), ("Water heater", heater), ("Permit and work", permit))
    return tuple(Field(label, tuple(line for line in lines if line)) for label, lines in named)


def _contractor(answers: Answers, filed: Filed) -> tuple[str, tuple[str, ...]]:
    firm = filed.organisation
    name = str(firm.get("name") or told(answers, "contractor_name") or "Contractor not named")
    licence = str(firm.get("licence") or told(answers, "contractor_licence"))
    lines = (
        _line(_named("Licence", licence), str(firm.get("phone") or ""), between=" · "),
        str(firm.get("address") or ""),
    )
    return name, tuple(line for line in lines if line)


def _keys(answers: Answers, report: Report) -> tuple[Key, ...]:
    figures = report["figures"]
    found: list[Key] = []
    for name, label in KEY_FIGURES[:2]:
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


def _add_figure(found: list[Key], figure: Mapping[str, Any] | None, label: str) -> None:
    if figure is not None and isinstance(figure["value"], str):
        found.append(Key(label, bare(figure["value"], figure["unit"]), figure["unit"]))
    elif figure is not None and figure["value"] is None and figure.get("says"):
        found.append(Key(label, "", "", figure["says"]))


def _drawings(answers: Answers, report: Report) -> tuple[Drawing, ...]:
    drawn = (
        (straps_svg(answers, report), straps_words(answers, report)),
        (pressure_svg(answers, report), pressure_words(answers, report)),
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
    names = answers.get("accepted_as_usual") or []
    return tuple(f"{CATALOGUE[name].label}: {told(answers, name)}" for name in names if name in CATALOGUE)


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
    return tuple((lead, text) for about, lead, text in wording.CAUTIONS if has[about])


def moment(stamp: Any) -> str:
    """An UTC time such as 2026-03-14T09:26:53Z for reading; anything else as it is.

    >>> moment("2026-03-14T09:26:53Z")
    '2026-03-14 09:26 UTC'
    """
    text = str(stamp or "")
    return (
        f"{text[:10]} {text[11:16]} UTC"
        if re.fullmatch(r"[0-9-]{10}T[0-9:]{8}(Z|\+00:00)", text)
        else text[:40]
    )


def _signatures(filed: Filed, answers: Answers) -> tuple[Signature, ...]:
    given = json.loads(filed.signature) if filed.signature else None
    several = given.get("signatures", [given]) if isinstance(given, dict) else []
    found = []
    for one in several if isinstance(several, list) else []:
        if not isinstance(one, dict):
            continue
        ink = strokes_svg(one)
        method = "drawn" if ink else "typed" if one.get("method") != "paper" else "on paper"
        hashed = str(one.get("answers_sha256") or "")[:64]
        how = _line(
            f"Signed {moment(one.get('at'))},".replace(" ,", ","),
            method + ".",
            wording.ELECTRONIC,
            _named("Answers SHA-256", hashed),
        )
        found.append(
            Signature(
                str(one.get("name") or filed.issued_by.get("name") or "")[:200],
                ROLES.get(str(one.get("role")), str(one.get("role") or "Installer")[:60]),
                str(one.get("statement") or wording.STATEMENTS[filed.kind])[:1000],
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
    if not filed.supersedes_number:
        return ""
    return f"Replaces {filed.supersedes_number}" + (f": {filed.reason}" if filed.reason else "")


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

    contractor, contractor_lines = _contractor(answers, filed)
    firm_settings = filed.organisation.get("settings") or {}
    used = {
        one["confidence"]
        for one in findings
        if one["section"] and one["verdict"] not in ("not_applicable", "silent")
    }
    hazard = any(one.get("hazard") and one["verdict"] == "fails" for one in findings)
    return Paper(
        kind=filed.kind,
        title=wording.TITLES[filed.kind],
        face=wording.FACES[filed.kind],
        number=filed.number,
        revision=str(filed.revision),
        replaces=_replaces(filed),
        issued=moment(filed.issued_at),
        issued_iso=filed.issued_at,
        page_size=PAGE_SIZES.get(str(firm_settings.get("paper", "letter")).lower(), "letter"),
        contractor=contractor,
        contractor_lines=contractor_lines,
        parties=_parties(answers, filed),
        codes=codes_of(findings, tags),
        records=wording.RECORDS[filed.kind],
        limits=wording.LIMITS,
        stop=wording.STOP if hazard else "",
        keys=_keys(answers, report),
        fixes=roomy(one for one in rules if bars_certificate(one) and one["verdict"] != "unanswered"),
        unanswered=roomy(one for one in rules if one["verdict"] == "unanswered"),
        opens=roomy(one for one in rules if is_open_item(one) and not bars_certificate(one)),
        advice=roomy(one for one in advised if one["verdict"] not in ("meets", "not_applicable", "silent")),
        columns=columns_of([one for one in findings if one["verdict"] == "meets"], tags),
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
        counts=_counted(findings),
        check_code=filed.check_code,
        check_address=str(filed.context.get("check_address", ""))[:200],
        content_digest=filed.content_digest,
        previous_head=filed.previous_head,
        ruleset=f"{filed.ruleset_version} {filed.ruleset_digest[:16]}",
        footer=_line(wording.TITLES[filed.kind], filed.number, f"revision {filed.revision}"),
    )  # fmt: skip
