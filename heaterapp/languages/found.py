"""Every text of ours that is shown in another language, and where it stands: in code, templates and books."""

from __future__ import annotations

import importlib
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from ..rules import CATALOGUE, SECTIONS
from ..rules.catalog import all_checks
from .code_sentences import sentences
from .sentences import UNITS, has_holes, wordless

PACKAGE = Path(__file__).resolve().parent.parent
RULES = PACKAGE / "rules"
Found = tuple[str, str]
"""A text, and the file it was found in, from the package's folder."""

OF_THE_ENGINE = (
    "absence", "engine", "settle", "plausible", "impossible", "reading", "job", "units", "stored",
    "calc/expansion", "calc/vent_tables",
)  # fmt: skip
"""Modules of the rules, besides checks and figures, that say something to whoever fills in a job."""
NOT_SAID = UNITS | {
    "Btu/ft3", "advice", "amendments", "btu/cu ft", "count", "deg", "degF", "fails", "ft3", "in wc", "in2", "meets", "ratio",
    "deg f", "no", "room", "rule", "safety", "unanswered", "yes", "{0}_mechanical", "{0}_opening", "check %s", "figure %s",
    "decided by {0}, which {1} does not have", '{"topic.check": {"by": ..., "on": "YYYY-MM-DD", "why": ...}}',
}  # fmt: skip
"""What stands in the rules' code as words and is told to nobody who fills in a form."""
WORDS = {
    "above": "rules/figures/straps.py", "below": "rules/figures/straps.py", "beside": "rules/checks/venting/wall_terminal.py",
    "rise": "rules/calc/vent_tables.py", "lateral": "rules/calc/vent_tables.py", "unknown": "rules/figures/water.py",
    "listed kit": "rules/checks/seismic/strap_material.py", "draft-hood": "rules/checks/air/enough_air.py",
    "not permitted": "rules/calc/vent_tables.py",
}  # fmt: skip
"""Words that a sentence takes from an answer or a table as they are stored, and where."""
TABLES = (
    "sheet.live:OUTCOMES", "sheet.answered:SAID", "filling.signed:STATEMENTS", "filling.signed:NOT_SIGNED",
    "web.errors:SAYS", "web.account:SAID", "web.joining:DOES", "web.office:KINDS",
)  # fmt: skip
"""Tables of texts that are said by their key: module and name."""


def every_text() -> dict[str, list[str]]:
    """Text -> the files it was found in, in the order of the program."""
    found: dict[str, list[str]] = {}
    sources = (
        _questions(), _checks(), _figures(), _engine(), WORDS.items(), _titles(), _silent(), _said(), _tables(),
        _pages(),
    )  # fmt: skip
    for source in sources:
        for text, place in source:
            if text and place not in found.setdefault(text, []):
                found[text].append(place)
    return found


def _questions() -> Iterator[Found]:
    for question in CATALOGUE.values():
        place = f"rules/questions/{question.section}"
        for text in (question.label, question.hint, *question.choices.values()):
            if not wordless(text):
                yield text, place
    for title in SECTIONS.values():
        yield title, "rules/questions/__init__.py"


def _checks() -> Iterator[Found]:
    from ..sheet.findings import short_name

    for check in all_checks():
        path = RULES.joinpath("checks", *check.name.split(".")).with_suffix(".py")
        place = path.relative_to(PACKAGE).as_posix()
        for text in (short_name(check.name), check.title, check.remedy):
            yield text, place
        yield from _built(path)
    for path in sorted((RULES / "checks").glob("*/__init__.py")):
        yield from _built(path)


def _figures() -> Iterator[Found]:
    for path in sorted((RULES / "figures").glob("*.py")):
        yield from _built(path)


def _engine() -> Iterator[Found]:
    for name in OF_THE_ENGINE:
        for text, place in _built(RULES / f"{name}.py"):
            if " " in text and not text.startswith("(?") and "\\Z" not in text:
                yield text, place


def _built(path: Path) -> Iterator[Found]:
    for text in sentences(path.read_text(encoding="utf-8")):
        core = text.strip(" ")
        bare = has_holes(core) and not core.strip("{}0123456789 ")
        if core in NOT_SAID or bare or (wordless(core) and not has_holes(core)):
            continue
        yield core, path.relative_to(PACKAGE).as_posix()


def _titles() -> Iterator[Found]:
    """The titles of the printed tables that a figure names."""
    for path in sorted((RULES / "codes" / "tables").glob("vent_*.toml")):
        yield tomllib.loads(path.read_text(encoding="utf-8"))["title"], path.relative_to(PACKAGE).as_posix()


def _silent() -> Iterator[Found]:
    for path in sorted((RULES / "codes").rglob("*.toml")):
        for said in _leaves(tomllib.loads(path.read_text(encoding="utf-8")).get("silent", {})):
            yield said, path.relative_to(PACKAGE).as_posix()


def _leaves(held: Any) -> Iterator[str]:
    if isinstance(held, str):
        yield held
    elif isinstance(held, Mapping):
        for one in held.values():
            yield from _leaves(one)
    elif isinstance(held, Iterable):
        for one in held:
            yield from _leaves(one)


def _said() -> Iterator[Found]:
    """What is said by name in the code: `say("...")`."""
    from babel.messages.extract import extract_from_file

    for part in ("sheet", "filling", "web", "forms.py"):
        base = PACKAGE / part
        for path in [base] if base.is_file() else sorted(base.rglob("*.py")):
            if "languages import" not in path.read_text(encoding="utf-8"):
                continue
            for _, text, _, _ in extract_from_file("python", str(path), keywords={"say": None}):
                yield str(text), path.relative_to(PACKAGE).as_posix()


def _tables() -> Iterator[Found]:
    for name in TABLES:
        module, _, table = name.partition(":")
        held = getattr(importlib.import_module(f"{__package__.partition('.')[0]}.{module}"), table)
        for text in _leaves(held):
            yield text, f"{module.replace('.', '/')}.py"


def _pages() -> Iterator[Found]:
    """What a template says: `{{ _("...") }}`."""
    from babel.messages.extract import extract_from_dir

    root = PACKAGE.parent / "templates"
    root = root if root.is_dir() else PACKAGE / "templates"
    ways = [("**.html", "jinja2.ext:babel_extract")]
    for name, _, text, _, _ in extract_from_dir(str(root), ways, {}, {"_": None}):
        yield str(text), f"templates/{name}"
