"""The words of an index as migrations 0002 and 0005 make them; frozen, whatever `words.py` has become since.

They are no evidence: whoever changes the rule ships a migration that makes them anew.
"""

import json
import re
import unicodedata
from collections.abc import Mapping
from datetime import date
from typing import Any

WORD_CHARACTERS = 40
KEPT_WORDS = 400
LAST_CHARACTERS = range(4, 9)
LONGEST_SHOWN = 300
DIRECTIONS = {
    "n": "north", "s": "south", "e": "east", "w": "west",
    "ne": "northeast", "nw": "northwest", "se": "southeast", "sw": "southwest",
}  # fmt: skip
STREETS = {
    "aly": "alley", "ave": "avenue", "blvd": "boulevard", "cir": "circle", "ct": "court", "cv": "cove",
    "dr": "drive", "expy": "expressway", "fwy": "freeway", "hts": "heights", "hwy": "highway",
    "lk": "lake", "ln": "lane", "lp": "loop", "mt": "mount", "mtn": "mountain", "pkwy": "parkway",
    "pl": "place", "plz": "plaza", "pt": "point", "rd": "road", "rdg": "ridge", "riv": "river",
    "rte": "route", "sq": "square", "st": "street", "ter": "terrace", "trl": "trail", "vly": "valley",
    "xing": "crossing", "apt": "apartment", "ste": "suite", "bldg": "building", "fl": "floor",
}  # fmt: skip
ORDINALS = {
    "1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth",
    "6th": "sixth", "7th": "seventh", "8th": "eighth", "9th": "ninth", "10th": "tenth",
}  # fmt: skip
FORMS = {
    **{short: (short, full) for short, full in (DIRECTIONS | STREETS | ORDINALS).items()},
    **{full: (short, full) for short, full in (DIRECTIONS | STREETS | ORDINALS).items()},
}
_APOSTROPHES = re.compile(r"['\u2019]")
FACTS = ("address", "owner", "serial", "model", "permit", "work_date", "installer")
ADDRESS = ("address_street", "address_unit", "address_city")
TEXTS = ("address_street", "address_unit", "address_city", "address_state", "address_zip", "owner_name")
MARKS = ("job_ref", "permit_number", "heater_serial", "heater_model")


def words_of_record(row: Mapping[str, Any]) -> str:
    """Return the words of a record, of a row with what it is found by."""
    facts = {**dict.fromkeys(FACTS, ""), **json.loads(row["facts"])}
    own = [f"_o{row['organisation']}", "_k" + row["kind"].replace("_", "")]
    own += [] if row["installer"] is None else [f"_p{row['installer']}"]
    texts = [facts[name] for name in ("address", "owner", "model", "installer")]
    marks = [row["number"], *(facts[name] for name in ("serial", "model", "permit"))]
    return _kept(texts, marks, [facts["work_date"], row["issued_at"]], own)


def line_of(answers: Mapping[str, Any]) -> dict[str, str | None]:
    """Return what a job's line on the desk says of its answers."""
    kept = _kept(_said(answers, TEXTS), _said(answers, MARKS), [], [])
    return {
        "heater_kind": "".join(_said(answers, ("heater_kind",)))[:40],
        "address": ", ".join(_said(answers, ADDRESS))[:LONGEST_SHOWN],
        "owner": "".join(_said(answers, ("owner_name",)))[:LONGEST_SHOWN],
        "day": _day(answers.get("work_date")),
        "words": f" {kept} " if kept else "",
    }


def _day(said: Any) -> str | None:
    kept = said.strip() if isinstance(said, str) else ""
    try:
        return kept if date.fromisoformat(kept).isoformat() == kept else None
    except ValueError:
        return None


def _split(text: str) -> list[str]:
    folded = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    kept = (c if c.isalnum() else "" if unicodedata.combining(c) else " " for c in folded)
    return [word[:WORD_CHARACTERS] for word in "".join(kept).split()]


def _kept(texts: list[str], marks: list[str], dates: list[str], own: list[str]) -> str:
    words = list(own)
    for text in (*texts, *marks, *(_APOSTROPHES.sub("", text) for text in texts)):
        for word in _split(text):
            words.extend(FORMS.get(word, (word,)))
    for mark in marks:
        parts = _split(mark)
        whole = "".join(parts)[:WORD_CHARACTERS]
        words.append(whole)
        words.extend(whole[-length:] for length in LAST_CHARACTERS if len(whole) > length)
        words.extend(part.lstrip("0") for part in parts if part.isdigit())
    for day in dates:
        words.append(day[:10].replace("-", ""))
    return " ".join(list(dict.fromkeys(word for word in words if word))[:KEPT_WORDS])


def _said(given: Mapping[str, Any], names: tuple[str, ...]) -> list[str]:
    return [given[name] for name in names if isinstance(given.get(name), str) and given[name]]
