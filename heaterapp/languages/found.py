"""Every text of ours that is shown in another language, and where it stands: in code, templates and books."""

from __future__ import annotations

import importlib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from ..rules import CATALOGUE, SECTIONS, place_names
from ..rules import place as read_place
from ..rules.catalog import all_checks
from .code_sentences import SAYERS, said_by_name, sentences
from .patterns import UNITS, has_holes, wordless
from .scripts import said as said_in

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
    "Btu/ft3", "advice", "amendments", "btu/cu ft", "count", "deg", "degF", "fails", "ft3", "in wc", "in2",
    "meets", "ratio",
    "deg f", "room", "rule", "safety", "unanswered", "{0}_mechanical", "{0}_opening", "check %s", "figure %s",
    "decided by {0}, which {1} does not have", '{"topic.check": {"by": ..., "on": "YYYY-MM-DD", "why": ...}}',
}  # fmt: skip
"""What stands in the rules' code as words and is told to nobody who fills in a form."""
SAYING = ("sheet", "filling", "web", "forms.py", "firm_clock.py")
"""Where pages are made that are shown in another language."""
PAIRED = frozenset({"share.py"})
"""The homeowner's page: its sentences stand in both languages side by side, and its `say` is another."""
CLASS = re.compile(r"label\b|curve |strap \{|M\{| L|rx=|<|wall_|[a-z_]+(-[a-z]+)?\Z|\(\.\+|\[\\d")
"""What stands in a drawing's code as text and is a class, a path or a pattern."""
SMALL = frozenset({"and", "for", "of"})
"""Words of a printed title that have no capital."""
WORDS = {
    "rules/calc/vent_tables.py": ("rise", "lateral", "not permitted"),
    "rules/checks/air/enough_air.py": ("draft-hood",),
    "rules/checks/seismic/strap_material.py": ("listed kit",),
    "rules/checks/venting/wall_terminal.py": ("beside",),
    "rules/figures/straps.py": ("above", "below"),
    "rules/figures/water.py": ("unknown", "yes", "no"),
    "sheet/draw/heating.py": ("advised",),
    "sheet/draw/vent_facts.py": ("vent", "hood"),
    "sheet/draw/vent_wall.py": ("snow", "terminal", "below opening", "above opening", "beside opening"),
    "templates/account.html": ("installer", "office", "owner"),
    "web/devices.py": ("Unknown browser", "Browser"),
}
"""Words that a sentence takes from an answer or a table as they are stored, and where."""
TABLES = (
    "rules.postal:EXPECTED", "filling.signed:STATEMENTS",
    "filling.signed:CONSENT", "filling.signed:NO_YEAR", "filling.signed:RECEIPT",
    "filling.signed:NAMELESS", "filling.signed:STILL_OPEN", "filling.signed:OTHER_CODES",
    "filling.judging:NO_PLACE", "sheet.bounds:FOUND_AS", "sheet.bounds:BOUNDS", "sheet.bounds:COUNTS",
    "web.errors:SAYS", "photo.header:SAYS", "web.account:SAID", "web.joining:DOES", "web.office:KINDS",
    "certificate.wording:TITLES", "certificate.wording:FACES", "certificate.wording:RECORDS",
    "certificate.wording:LIMITS", "certificate.wording:STOP", "certificate.wording:LOOKED_OVER",
    "certificate.wording:ELECTRONIC", "certificate.wording:ELECTRONIC_OF", "certificate.wording:COUNTS",
    "certificate.wording:ONE", "certificate.wording:ADVISED", "certificate.wording:ABOUT",
    "certificate.marks:SHAPES",
    "certificate.signatures:READ_IN", "certificate.signatures:ROLES",
    "certificate.signatures:RELATIONS",
    "certificate.translated:REPLACED", "certificate.translated:VOID", "certificate.translated:FEET",
    "certificate.replaced:HEADS", "certificate.replaced:MORE", "certificate.replaced:WAS",
    "certificate.replaced:NOW",
    "sheet.phrases:FOUND", "sheet.phrases:ASKED", "sheet.phrases:ASKED_AS", "sheet.workings:FORMULAS",
    "filling.signed:NOT_SIGNED", "sheet.findings:NOT_YET", "web.public:STATES",
    "web.public:NOT_CERTIFICATES", "sealing.words:MEANS", "sealing.words:KINDS", "sealing.words:NEXT",
    "sealing.words:CALLS", "web.going_along:WAYS",
)  # fmt: skip
"""Tables of texts that are said by their key: module and name."""


def every_text() -> dict[str, list[str]]:
    """Text -> the files it was found in, in the order of the program."""
    found: dict[str, list[str]] = {}
    sources = (
        _questions(), _checks(), _figures(), _engine(), _words(), _titles(), _places(), _drawings(), _codes(),
        _said(), _papers(), _tables(), _pages(), _scripts(),
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


def _built(path: Path, loose: bool = False) -> Iterator[Found]:
    for text in sentences(path.read_text(encoding="utf-8")):
        core = text.strip(" ")
        bare = has_holes(core) and not core.strip("{}0123456789 ")
        if core in NOT_SAID or (bare and not loose) or (wordless(core) and not has_holes(core)):
            continue
        yield core, path.relative_to(PACKAGE).as_posix()


def _words() -> Iterator[Found]:
    for place, words in WORDS.items():
        yield from ((word, place) for word in words)


def _titles() -> Iterator[Found]:
    """The titles of the printed tables that a figure names."""
    for path in sorted((RULES / "codes" / "tables").glob("vent_*.toml")):
        yield tomllib.loads(path.read_text(encoding="utf-8"))["title"], path.relative_to(PACKAGE).as_posix()


def _places() -> Iterator[Found]:
    """What the adopted codes of a place are called."""
    for name in sorted(set(place_names().values())):
        yield read_place(name).title, f"rules/codes/places/{name}.toml"


def _drawings() -> Iterator[Found]:
    """Labels and sentences of the drawings, without the classes that set them."""
    for path in sorted((PACKAGE / "sheet" / "draw").glob("*.py")):
        for text, place in _built(path, loose=True):
            if not CLASS.match(text):
                yield text, place


def _codes() -> Iterator[Found]:
    """What a book does not state, and sections that are called by words, or have words beside a number."""
    titles: set[str] = set()
    for path in sorted((RULES / "codes").rglob("*.toml")):
        held, place = tomllib.loads(path.read_text(encoding="utf-8")), path.relative_to(PACKAGE).as_posix()
        for said in _leaves(held.get("silent", {})):
            yield said, place
        for section in _texts_of("section", held):
            yield section, place
        # What a book is called in our own words; the title of a publication stays as it is printed.
        title = str(held.get("title", "")) if path.name == "book.toml" else ""
        titles.add(title)
        if title and not is_publication(title):
            yield title, place
        for edition in _texts_of("carried_from", held):
            yield edition, place
    for name in sorted(set(place_names().values())):
        for clause in read_place(name).clauses.values():
            if clause.confidence == "practice":
                yield clause.book, "rules/codes/books/trade_practice"
            elif clause.book not in titles and not is_publication(clause.book):
                yield clause.book, f"rules/codes/places/{name}.toml"


def _texts_of(name: str, held: Any) -> Iterator[str]:
    for key, value in held.items() if isinstance(held, dict) else ():
        if key == name and isinstance(value, str):
            if not wordless(value):
                yield value
        else:
            yield from _texts_of(name, value)


def is_publication(title: str) -> bool:
    """Whether a title is one that a publication bears, by its capitals.

    >>> is_publication("California Health and Safety Code"), is_publication("Consumer agency scald figures")
    (True, False)
    """
    return all(word in SMALL or not word[:1].islower() for word in title.split())


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
    """What the pages' own code says: `say("...")`."""
    for part in SAYING:
        base = PACKAGE / part
        for path in [base] if base.is_file() else sorted(base.rglob("*.py")):
            for text in said_by_name(path.read_text(encoding="utf-8")) if path.name not in PAIRED else ():
                yield text, path.relative_to(PACKAGE).as_posix()


def _papers() -> Iterator[Found]:
    """What the papers say: `own("...")`, the keys at their head, the cautions."""
    keys, wording = (importlib.import_module(f"heaterapp.certificate.{name}") for name in ("keys", "wording"))
    for path in sorted((PACKAGE / "certificate").glob("*.py")):
        for text in said_by_name(path.read_text(encoding="utf-8"), SAYERS | {"own"}):
            yield text, f"certificate/{path.name}"
    named = (*keys.KEY_FIGURES, *keys.KEY_ANSWERS, keys.NEEDED, keys.AIR_NEEDED, ("", keys.IF_CLOSED))
    for _, label in named:
        yield label, "certificate/keys.py"
    for one in wording.CAUTIONS:
        yield one.lead, "certificate/wording.py"
        yield one.text, "certificate/wording.py"
    counted = (wording.MET, wording.MET_BESIDE, wording.PRACTICE)
    for text in (*counted, *(said for _, said in wording.SURENESS.values())):
        yield text, "certificate/wording.py"


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
    found = extract_from_dir(str(root), ways, {}, {"_": None})
    # Files come in whatever order the disk has them.
    for name, _, text, _, _ in sorted(found, key=lambda one: one[0]):
        yield str(text), f"templates/{name}"


def _scripts() -> Iterator[Found]:
    """What a script says, on line or on the phone: `say("...")`."""
    root = PACKAGE.parent / "static"
    root = root if root.is_dir() else PACKAGE / "static"
    for path in sorted((*root.glob("*.js"), *root.glob("phone/*.js"))):
        for text in said_in(path.read_text(encoding="utf-8")):
            yield text, f"static/{path.relative_to(root).as_posix()}"
