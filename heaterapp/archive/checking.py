"""What a value must be before it is kept; every refusal names the field."""

import re
from datetime import date
from uuid import UUID

from heaterapp.archive.errors import Invalid

LONGEST_FACT = 1200
"""Characters: of an address all its parts, each as long as its question takes it."""
LONGEST_REASON = 300
SHORTEST_PASSWORD = 10
LONGEST_PASSWORD = 256
JOINERS = "\u200c\u200d"
"""What names in Persian, Sinhala or Marathi are spelled with; they are seen in the letters beside them."""
_FILE_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,50}\.[a-z0-9]{1,8}")
_KEY = re.compile(r"[A-Za-z0-9_.:-]{8,100}")
_PREFIX = re.compile(r"[A-Z][A-Z0-9]{0,7}")
_LOGIN = re.compile(r"\S(?:.{0,98}\S)?")


def printable(text: str) -> bool:
    """Say whether a text can stand on one line: nothing in it breaks it, is unseen, or joins nothing.

    >>> printable("\u0639\u0644\u06cc\u200c\u0631\u0636\u0627"), printable("a\u200b"), printable("\u200d")
    (True, False, False)
    """
    plain = text.replace(JOINERS[0], "").replace(JOINERS[1], "")
    return plain.isprintable() and bool(plain) == bool(text)


def line(field: str, value: object, longest: int, empty: bool = True) -> str:
    """Return one line of storable text of at most `longest` characters, without outer spaces."""
    if not isinstance(value, str):
        raise Invalid(field, "text was expected")
    kept = value.strip()
    if len(kept) > longest:
        raise Invalid(field, f"at most {longest} characters")
    if not kept and not empty:
        raise Invalid(field, "something must stand here")
    if not printable(kept):
        raise Invalid(field, "no line breaks and no control characters")
    return kept


def reason(value: object) -> str:
    """Return why something is done: one line of 1 to 300 characters."""
    return line("reason", value, LONGEST_REASON, empty=False)


def choice(field: str, value: object, choices: tuple[str, ...]) -> str:
    if value not in choices:
        raise Invalid(field, "one of " + ", ".join(choices))
    return str(value)


def iso_date(field: str, value: object) -> str:
    kept = line(field, value, 10)
    try:
        if kept and date.fromisoformat(kept).isoformat() != kept:
            raise ValueError
    except ValueError:
        raise Invalid(field, "a date such as 2026-03-14") from None
    return kept


def job_id(value: object) -> str:
    """Return a UUID in its usual small letters."""
    try:
        return str(UUID(str(value)[:64]))
    except ValueError:
        raise Invalid("job_id", "a UUID") from None


def content(field: str, value: object, largest: int) -> bytes:
    if not isinstance(value, bytes) or not value:
        raise Invalid(field, "some bytes were expected")
    if len(value) > largest:
        raise Invalid(field, f"at most {largest} bytes")
    return value


def file_name(value: object) -> str:
    return _matching("file name", value, _FILE_NAME, "a name such as certificate.pdf")


def key(value: object) -> str:
    return _matching("key", value, _KEY, "8 to 100 letters, digits or _ . : -")


def prefix(value: object) -> str:
    return _matching("prefixes", value, _PREFIX, "1 to 8 capital letters or digits, a letter first")


def login(value: object) -> str:
    """Return a login name in the one form it is kept and compared in."""
    kept = line("login", value, 100, empty=False).casefold()
    # A name that looks like another one is no name to sign in by.
    return _matching("login", kept if kept.isprintable() else "", _LOGIN, "1 to 100 plain characters")


def _matching(field: str, value: object, pattern: re.Pattern[str], expected: str) -> str:
    if not isinstance(value, str) or not pattern.fullmatch(value):
        raise Invalid(field, expected)
    return value
