"""The language that pages are told in: one catalogue for the server, the papers and the phone.

    translate(text, language)        one of our own texts; in English where the catalogue has none
    say(text, **holes)               the same in the language that is spoken now, its holes filled
    told(scope, text)                a sentence that a check or a figure built, in the language spoken now
    speaking(language)               a `with` block in which that language is spoken
    spoken()                         the language of now: "en" until somebody says otherwise
    finding_in, figure_in            a finding or a figure of a stored report, translated to be shown

Every text stands in the code in English and is its own key. A stored report stays English: it is translated
when it is shown, by the patterns of the catalogue. Standard library only, so that it runs on the phone,
where `teach` brings the catalogue that the server reads from `LANGUAGE/LC_MESSAGES/heaterapp.po`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from importlib.util import find_spec
from typing import Any

from .patterns import put_in
from .sentences import Catalogue
from .typeset import typeset

LANGUAGES = {"en": "English", "es": "Español"}
"""Language -> its own name."""
SOURCE = "en"
FILES = f"{__name__}.files"
_spoken: ContextVar[str] = ContextVar("spoken", default=SOURCE)
_taught: dict[str, Catalogue] = {}


def spoken() -> str:
    """The language that is spoken now."""
    return _spoken.get()


def can_speak(language: str) -> bool:
    """Whether texts in a language can be had here: on a phone it has to be taught first."""
    if language == SOURCE or language in _taught:
        return True
    return language in LANGUAGES and find_spec(FILES) is not None


def speak(language: str) -> None:
    """Speak a language from now on, in this thread or task; an unknown one is English."""
    _spoken.set(language if can_speak(language) else SOURCE)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language within the block."""
    before = _spoken.get()
    speak(language)
    try:
        yield
    finally:
        _spoken.set(before)


def teach(language: str, data: Any) -> None:
    """Give a language its catalogue: a `Catalogue`, or what `Catalogue.as_json` gave."""
    _taught[language] = data if isinstance(data, Catalogue) else Catalogue.from_json(data)


def catalogue(language: str) -> Catalogue:
    """The catalogue of a language; read from its file the first time.

    raises  LookupError for a language that nobody taught where there are no files
    """
    if language not in _taught:
        from .files import read

        _taught[language] = read(language)
    return _taught[language]


def translate(text: str, language: str) -> str:
    """One of our own texts in a language; as it is where the catalogue has it not."""
    return text if language == SOURCE else catalogue(language).text(text)


def say(text: str, **holes: Any) -> str:
    """A text in the language spoken now; `{name}` in it is filled from `holes`.

    >>> say("{count} to answer", count=2)
    '2 to answer'
    """
    language = _spoken.get()
    if language != SOURCE:
        # A page says some hundred texts after every keystroke.
        text = (_taught.get(language) or catalogue(language)).text(text)
        return put_in(text, **holes) if holes else text
    return text.format(**holes) if holes else text


def told(scope: str, text: str) -> str:
    """What a check or a figure says, in the language spoken now; in English where nothing matches it.

    A report keeps 120 F, which is read 120 °F.

    scope  the check's name; "figures" for what stands with a figure; "common" for what the engine itself says
    """
    language = _spoken.get()
    said = text if language == SOURCE or not text else catalogue(language).sentence(scope, text) or text
    return typeset(said, language, text)


def finding_in(finding: Mapping[str, Any], language: str) -> dict[str, Any]:
    """A finding of a stored report as it is shown in a language.

    returns  its own keys, with title, why, fix, found and limit translated; `untranslated` names those that
             nothing in the catalogue matches, which stay English
    """
    return _shown(finding, finding["check"], ("title", "why", "fix", "found", "limit"), language)


def figure_in(figure: Mapping[str, Any], language: str) -> dict[str, Any]:
    """A figure of a stored report as it is shown in a language, as `finding_in` does."""
    return _shown(figure, "figures", ("formula", "worked", "source", "says"), language)


def _shown(item: Mapping[str, Any], scope: str, keys: tuple[str, ...], language: str) -> dict[str, Any]:
    shown, missed = dict(item), []
    if language != SOURCE:
        known = catalogue(language)
        for key in keys:
            if item.get(key):
                said = known.sentence(scope, item[key])
                shown[key] = item[key] if said is None else said
                missed += [key] if said is None else []
    return {**shown, "untranslated": tuple(missed)}
