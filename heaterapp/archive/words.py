"""The words a record is found by, and the words meant by what somebody typed into the one box.

Letters are folded to lower case without accents; everything that is no letter or
digit separates. A word that begins with `_` is ours (organisation, kind,
installer); no typed text can make one. Short forms of streets and directions are
those of the postal addressing standard (Publication 28, appendices B and C1; from
memory), both forms are indexed, so either finds the other.
"""

import re
import unicodedata
from calendar import monthrange
from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from heaterapp.archive.checking import JOINERS

TYPED_CHARACTERS = 200
TYPED_WORDS = 12
WORD_CHARACTERS = 40
KEPT_WORDS = 400
LONGEST_BEGINNING = 10
LAST_CHARACTERS = range(4, 9)
WIDE_DAYS, COARSE_DAYS = 800, 90
"""From how many days on a range begins with a whole year, and with a whole month."""
MARK_DIGITS = 4

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
SKIPPABLE = {word for pair in (DIRECTIONS | STREETS).items() for word in pair}
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_MONTH_NAME = (
    "(jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?"
    "|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_ISO_DAY = re.compile(r"\b(\d{4})-(\d{1,2})-(\d{1,2})\b", re.ASCII)
_ISO_MONTH = re.compile(r"\b(\d{4})-(\d{2})\b(?!-)", re.ASCII)
_US_DAY = re.compile(r"\b(\d{1,2})/(\d{1,2})/(\d{4}|\d{2})\b", re.ASCII)
_NAMED_DAY = re.compile(rf"\b{_MONTH_NAME}\.? (\d{{1,2}}),? (\d{{4}})\b", re.ASCII)
_DAY_NAMED = re.compile(rf"\b(\d{{1,2}}) {_MONTH_NAME}\.? (\d{{4}})\b", re.ASCII)
_NAMED_MONTH = re.compile(rf"\b{_MONTH_NAME}\.? (\d{{4}})\b", re.ASCII)


_UNIT_MARK = re.compile(r"(?:\b(?:apartment|apt|suite|ste|unit|no)\b\.?\s*)?#\s*", re.IGNORECASE)
UNITS = {"apartment", "suite", "unit"}
"""What stands before the number of a unit, whichever was typed."""
_ASCII_WORD = re.compile("[a-z0-9]+")
_APOSTROPHES = re.compile(r"['\u2019]")


class Word(NamedTuple):
    text: str
    begins: bool
    """Whether longer words that begin with this one are meant too."""
    of_mark: bool = False
    """Whether it is the letters of a typed mark, as of PL-2026: meant exactly, and never left out."""


def split(text: str) -> list[str]:
    """Return the folded words of `text`, each of at most 40 characters.

    >>> split("12 N. Oák Ave, #3")
    ['12', 'n', 'oak', 'ave', '3']
    """
    if text.isascii():
        return [word[:WORD_CHARACTERS] for word in _ASCII_WORD.findall(text.lower())]
    folded = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).casefold())
    kept = (c if c.isalnum() else "" if unicodedata.combining(c) or c in JOINERS else " " for c in folded)
    return [word[:WORD_CHARACTERS] for word in "".join(kept).split()]


def same_address(text: str) -> str:
    """Return an address as others are held against it: full forms of its words, its unit as it is typed.

    >>> {same_address(one) for one in ("77 North Oak Avenue", "77 N. Oak Ave", "77 n oak ave")}
    {'77 north oak avenue'}
    >>> same_address("77 N Oak Ave, Apt 2"), same_address("77 N Oak Ave #2")
    ('77 north oak avenue unit 2', '77 north oak avenue unit 2')
    """
    marked = _UNIT_MARK.sub(" unit ", text)
    full = [FORMS.get(word, (word,))[-1] for word in split(marked)]
    return " ".join("unit" if word in UNITS else word for word in full)


def organisation_word(organisation: int) -> str:
    return f"_o{organisation}"


def kind_word(kind: str) -> str:
    return "_k" + kind.replace("_", "")


def installer_word(person: int) -> str:
    return f"_p{person}"


def kept_words(texts: list[str], marks: list[str], dates: list[str], own: list[str]) -> str:
    """Return the words to index: of `texts`, of marks such as serials, of ISO dates, and our own.

    A mark is also indexed run together, its digits without leading zeros, and its last few
    characters, which are what people read off a plate: `C-000123` is found by `c000123`,
    `000123`, `0123` and `123`. A name with an apostrophe is found with and without it.
    """
    words = list(own)
    for text in (*texts, *marks, *(_APOSTROPHES.sub("", text) for text in texts)):
        for word in split(text):
            words.extend(FORMS.get(word, (word,)))
    for mark in marks:
        parts = split(mark)
        whole = "".join(parts)[:WORD_CHARACTERS]
        words.append(whole)
        words.extend(whole[-length:] for length in LAST_CHARACTERS if len(whole) > length)
        words.extend(part.lstrip("0") for part in parts if part.isdigit())
    for day in dates:
        words.append(day[:10].replace("-", ""))
    return " ".join(list(dict.fromkeys(word for word in words if word))[:KEPT_WORDS])


def typed_words(typed: str) -> list[Word]:
    """Return what `typed` asks for; only its first 200 characters and 12 words count.

    A word means every word beginning with it, except one letter (exactly that) and a
    short number that is not the last word (a house number: 12 is not 123). The letters
    of a mark such as PL-2026 are meant exactly; where they could be a street's, as here,
    the mark is meant run together.
    """
    words: list[tuple[str, bool]] = []
    for token in _dates_joined(typed[:TYPED_CHARACTERS].casefold()).split():
        words += _parts_of(token)
    words = words[:TYPED_WORDS]
    last = len(words) - 1
    return [
        Word(word, False, True) if letters else _meant(word, last=at == last)
        for at, (word, letters) in enumerate(words)
    ]


def _parts_of(token: str) -> list[tuple[str, bool]]:
    """Return the words of one typed token, each with whether it is the letters of a mark."""
    parts = split(token)
    digits = "".join(parts[1:])
    if "-" not in token or len(parts) < 2 or not parts[0].isalpha() or not digits.isdigit():
        return [(part, False) for part in parts]
    if parts[0] in SKIPPABLE and len(digits) >= MARK_DIGITS:
        return [((parts[0] + digits)[:WORD_CHARACTERS], False)]
    return [(parts[0], True), *((part, False) for part in parts[1:])]


def near(since: date, until: date) -> list[Word]:
    """Return few beginnings of days that hold every day from `since` to `until`, both with.

    No day after `until` is among them, but the older end of a wide range is as coarse as whole
    years: who reads the newest first seldom comes there.

    >>> [word.text for word in near(date(2025, 11, 30), date(2026, 10, 1))]
    ['202511', '202512', '20260', '20261001']
    """
    wide = (until - since).days
    first = since.replace(day=1, month=1) if wide > WIDE_DAYS else since
    first = first.replace(day=1) if wide > COARSE_DAYS else first
    # Days that no month has are free: whole months and years are short beginnings.
    low = f"{first:%Y%m}{first.day if first.day > 1 else 0:02}"
    low = low[:4] + "0000" if low[4:] == "0100" else low
    high = f"{until:%Y%m}{99 if until == _month_end(until) else until.day:02}"
    high = high[:4] + "9999" if high[4:] == "1299" else high
    return [Word(text, begins=len(text) < len(low)) for text in _beginnings("", low, high)]


def _beginnings(begun: str, low: str, high: str) -> Iterator[str]:
    least, most = begun.ljust(len(low), "0"), begun.ljust(len(low), "9")
    if low <= least and most <= high:
        yield begun
    elif least <= high and most >= low:
        for digit in "0123456789":
            if not _in_no_year(begun + digit):
                yield from _beginnings(begun + digit, low, high)


def _in_no_year(begun: str) -> bool:
    month, day = begun[4:6], begun[6:]
    return month == "00" or month > "12" or day == "00" or day > "31"


def _month_end(day: date) -> date:
    return date(day.year, day.month, monthrange(day.year, day.month)[1])


def loosened(words: list[Word]) -> list[Word]:
    """Return the words without directions, street kinds and single letters: a second, looser try."""
    return [
        word
        for word in words
        if word.of_mark or (word.text not in SKIPPABLE and (len(word.text) > 1 or word.text.isdigit()))
    ]


def _meant(word: str, last: bool) -> Word:
    if len(word) == 1 or (word.isdigit() and len(word) < 5 and not last):
        return Word(word, begins=False)
    # A beginning longer than the index has is slow when every record has it, as a long town's name.
    return Word(word[:LONGEST_BEGINNING] if word.isalpha() else word, begins=True)


def _dates_joined(typed: str) -> str:
    for pattern, order in (
        (_ISO_DAY, (1, 2, 3)),
        (_US_DAY, (3, 1, 2)),
        (_NAMED_DAY, (3, 1, 2)),
        (_DAY_NAMED, (3, 2, 1)),
    ):
        typed = pattern.sub(lambda found, order=order: _day(found, *order), typed)
    for pattern, order in ((_ISO_MONTH, (1, 2)), (_NAMED_MONTH, (2, 1))):
        typed = pattern.sub(lambda found, order=order: _month(found, *order), typed)
    return typed


def _day(found: re.Match[str], year: int, month: int, day: int) -> str:
    full_year = int(found[year]) + (2000 if len(found[year]) == 2 else 0)
    try:
        return date(full_year, _month_number(found[month]), int(found[day])).strftime("%Y%m%d")
    except ValueError:
        return found[0]


def _month(found: re.Match[str], year: int, month: int) -> str:
    number = _month_number(found[month])
    return f"{found[year]}{number:02}" if 1 <= number <= 12 else found[0]


def _month_number(written: str) -> int:
    return int(written) if written.isdigit() else MONTHS.index(written[:3]) + 1
