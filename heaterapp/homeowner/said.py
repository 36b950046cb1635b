"""One thing to say, in English and in Spanish side by side, and the sources of the numbers in it.

Both languages stand together so that one reader who knows both can review them. The Spanish is
that of the trade in the United States, and says "usted".
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from heaterapp.rules.units import plain
from heaterapp.sheet.bounds import reading
from heaterapp.sheet.brief import as_read

LANGUAGES = ("en", "es")


class Said(NamedTuple):
    """One thing in both languages; `sources` names lines of `sources.SOURCES`, where it has a number."""

    en: str
    es: str
    sources: tuple[str, ...] = ()

    def of(self, language: str, **filled: object) -> str:
        """Return the words in one language ("en" or "es") with their gaps filled."""
        return (self.es if language == "es" else self.en).format(**filled)


MONTHS = Said(
    "January February March April May June July August September October November December",
    "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
)
DAY = Said("{month} {day}, {year}", "{day} de {month} de {year}")
INCHES = Said("{number} inches", "{number} pulgadas")
INCH = Said("{number} inch", "{number} pulgada")
AND = Said("{before} and {last}", "{before} y {last}")


def language_of(asked: str | None) -> str:
    """Return the language asked for, English for any other.

    >>> language_of("es"), language_of("de"), language_of(None)
    ('es', 'en', 'en')
    """
    return asked if asked in LANGUAGES else "en"


def day_in_words(text: str, language: str) -> str:
    """Return an ISO date in words, nothing for what is none.

    >>> day_in_words("2026-03-14", "en"), day_in_words("2026-03-14", "es"), day_in_words("", "en")
    ('March 14, 2026', '14 de marzo de 2026', '')
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return ""
    month = MONTHS.of(language).split()[day.month - 1]
    return DAY.of(language, month=month, day=day.day, year=day.year)


def listed(parts: Sequence[str], language: str) -> str:
    """Return a list as it is read.

    >>> listed(["a"], "en"), listed(["a", "b", "c"], "en"), listed(["8", "40"], "es")
    ('a', 'a, b and c', '8 y 40')
    """
    if len(parts) < 2:
        return "".join(parts)
    return AND.of(language, before=", ".join(parts[:-1]), last=parts[-1])


def number_of(value: Any, unit: str) -> str:
    """Return an answer's number as the paper reads it, nothing where nobody gave one.

    >>> number_of("120", "degF"), number_of("60.0", "psi"), number_of("59.46547", "psi")
    ('120', '60', '59.5')
    >>> number_of("unknown", "gal"), number_of({"could_not_measure": "x"}, "psi")
    ('', '')
    """
    number = _exact(value)
    return "" if number is None else plain(as_read(number, unit), 28)


def year_of(value: Any) -> str:
    """Return an answer's year, nothing where nobody gave one.

    >>> year_of("2011"), year_of({"could_not_measure": "x"})
    ('2011', '')
    """
    number = _exact(value)
    return "" if number is None else f"{number:f}"


def inches(values: Sequence[Any], language: str) -> str:
    """Return lengths in inches as on a tape, with one unit behind them.

    >>> inches(["14.375", "60"], "es")
    '14 3/8 y 60 pulgadas'
    >>> inches(["1"], "es"), inches(["0.5"], "es"), inches(["1.5"], "es"), inches(["1"], "en")
    ('1 pulgada', '1/2 pulgada', '1 1/2 pulgadas', '1 inch')
    """
    read = [number for number in map(_exact, values) if number is not None]
    taped = [reading(f"{one:f}", "in").removesuffix(" in") for one in read]
    words = INCH if len(taped) == 1 and is_one(taped[0]) else INCHES
    return words.of(language, number=listed(taped, language)) if taped else ""


def is_one(number: str) -> bool:
    """Say whether a number as it is read is one, or a fraction of one: what it counts is then singular.

    >>> is_one("1"), is_one("3/4"), is_one("1 1/2"), is_one("0.4"), is_one("12")
    (True, True, False, False, False)
    """
    return number == "1" or ("/" in number and " " not in number)


def _exact(value: Any) -> Decimal | None:
    try:
        number = Decimal(value) if isinstance(value, (str, int)) and not isinstance(value, bool) else None
    except InvalidOperation:
        return None
    return number if number is not None and number.is_finite() else None
