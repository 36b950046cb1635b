"""The homeowner's page behind an unguessable link, in English and Spanish."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from flask import Blueprint, render_template, request

from heaterapp import archive, rules
from heaterapp.rules.units import plain
from heaterapp.web import home_words
from heaterapp.web.office import attachment
from heaterapp.web.security import store

blueprint = Blueprint("share", __name__, url_prefix="/s")
LANGUAGES = ("en", "es")
TEMPERATURES = {"set": "thermostat_f", "mixed": "mixed_outlet_f", "tap": "outlet_temperature_f"}
Say = Callable[..., str]


@blueprint.get("/<token>")
def page(token: str) -> Any:
    """Say what was installed, what to watch for, and whom to call."""
    _, opened = _open(token)
    language = request.args.get("lang")
    language = language if language in LANGUAGES else "en"
    return render_template("share/home.html", **_told(opened, language), token=token, language=language)


@blueprint.get("/<token>/certificate.pdf")
def paper(token: str) -> Any:
    """Give the paper itself, to the byte."""
    shared, opened = _open(token)
    names = store().records.file_names(shared.organisation, shared.record)
    papers = [name for name in names if name.endswith(".pdf")]
    if not papers:
        raise archive.NotFound("No such file.")
    # The archival twin has the longer name; a person wants the plain one.
    return attachment(opened, min(papers, key=len))


def _open(token: str) -> tuple[archive.Share, archive.Record]:
    whole = store().organisations.default().id
    tries = [("share", request.remote_addr or "")]
    store().throttle.attempt(whole, tries)
    shared = store().shares.lookup(token)
    if shared is None:
        raise archive.NotFound("No such link.")
    store().throttle.succeeded(whole, tries)
    return shared, store().records.get(shared.organisation, shared.record)


def _told(opened: archive.Record, language: str) -> dict[str, Any]:
    """Return everything the page shows, in one language."""

    def say(name: str, **filled: object) -> str:
        return home_words.SAYS[name].of(language).format(**filled)

    answers = rules.asked_only(json.loads(opened.job))
    firm = opened.organisation_snapshot
    kind = str(answers.get("heater_kind") or "")
    status = store().records.status(opened.organisation, opened.id)
    has_tank = answers.get("expansion_device") == "tank"
    return {
        "say": say,
        "firm": firm,
        "record": opened,
        "existing": opened.kind != "certificate",
        "fuel": kind in home_words.FUEL,
        "tank": kind in home_words.TANK,
        "gas_phone": store().organisations.get(opened.organisation).settings.get("gas_emergency_phone", ""),
        "what": _what(opened, answers, kind, say, language),
        "numbers": _numbers(answers, say),
        "care": [
            (what.of(language), often.of(language))
            for what, often in home_words.care_for(kind, has_tank, _straps(answers) > 0)
        ],
        "codes": _amended(json.loads(opened.report), say),
        "maker": answers.get("heater_maker") if isinstance(answers.get("heater_maker"), str) else "",
        "replaced": status.state != "current",
        "present": store().records.present(opened.organisation, opened.job_id),
        "void": status.voided_at is not None,
    }


def _amended(report: Mapping[str, Any], say: Say) -> str:
    named = report.get("amended_by")
    return say("amended", title=named["title"], version=named["version"], on=named["on"]) if named else ""


def _what(
    opened: archive.Record, answers: Mapping[str, Any], kind: str, say: Say, language: str
) -> list[str]:
    heater = home_words.HEATERS.get(kind, home_words.HEATERS[""]).of(language)
    # "a electric" would be wrong; in Spanish the article does not change.
    article = "an" if language == "en" and heater[0] in "aeiou" else None
    name = "installed" if opened.kind == "certificate" else "looked_over"
    day = _day(opened.facts.work_date, language)
    sentence = say(
        name if day else f"{name}_undated",
        firm=opened.organisation_snapshot["name"] or say("a_plumber"),
        heater=heater,
        date=day,
    )
    if article:
        sentence = sentence.replace(f" a {heater}", f" {article} {heater}")
    gallons = _number(answers, "storage_gal")
    return [sentence, *([say("size", gal=gallons)] if gallons and kind in home_words.TANK else [])]


def _numbers(answers: Mapping[str, Any], say: Say) -> list[tuple[str, str, str]]:
    """Return (number, unit, sentence) for what was measured; no number where the sentence is advice."""
    temperatures = {name: _number(answers, key) for name, key in TEMPERATURES.items()}
    told = [(degrees, "°F", say(name, f=degrees)) for name, degrees in temperatures.items() if degrees]
    told.append(("", "", say("burn_scale")))
    told.append(("", "", say("burn")))
    pressure, air = _number(answers, "house_pressure_psi"), _number(answers, "precharge_psi")
    if pressure:
        told.append((pressure, "psi", say("pressure", psi=pressure)))
    if air and answers.get("expansion_device") == "tank":
        told.append((air, "psi", say("tank_air", psi=air)))
    if _straps(answers) > 1:
        told.append((str(_straps(answers)), "", say("straps", count=_straps(answers))))
    return told


def _straps(answers: Mapping[str, Any]) -> int:
    heights = answers.get("strap_heights_in")
    return len(heights) if isinstance(heights, list) and answers.get("strap_kind") != "none" else 0


def _number(answers: Mapping[str, Any], name: str) -> str:
    """Return a measured number for reading, or nothing where none was measured."""
    value = answers.get(name)
    try:
        number = Decimal(value) if isinstance(value, (str, int)) and not isinstance(value, bool) else None
    except InvalidOperation:
        return ""
    return plain(number) if number is not None and number.is_finite() else ""


def _day(text: str, language: str) -> str:
    """Return a date in words.

    >>> _day("2026-03-14", "en"), _day("2026-03-14", "es"), _day("", "en")
    ('March 14, 2026', '14 de marzo de 2026', '')
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return ""
    month = home_words.MONTHS.of(language).split()[day.month - 1]
    return f"{day.day} de {month} de {day.year}" if language == "es" else f"{month} {day.day}, {day.year}"
