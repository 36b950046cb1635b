"""One mail address as it is typed: read into the form it is sent in, or refused by name."""

from __future__ import annotations

import re
import unicodedata

LONGEST, LONGEST_LOCAL, LONGEST_DOMAIN = 254, 64, 253
EXPECTED = "one mail address, such as maria@example.com"
_ATOM = r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~\u0080-\U0010ffff-]+"
_LOCAL = re.compile(rf"{_ATOM}(?:\.{_ATOM})*")
_LABEL = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?", re.I)
_MARKS_OF_DIRECTION = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"


class BadAddress(ValueError):
    """What was typed is no address that mail can go to; the text says what was expected."""


def read(typed: str) -> str:
    """Return the address in the form it is sent in: the domain small and in ASCII, the rest as typed.

    >>> read(" Maria.Lopez+water@Example.COM "), read("josé@münchen.example")
    ('Maria.Lopez+water@example.com', 'josé@xn--mnchen-3ya.example')

    raises  BadAddress
    """
    text = unicodedata.normalize("NFC", typed.strip())
    if not text:
        raise BadAddress("type the address it goes to")
    if len(text.encode("utf-8", "surrogatepass")) > LONGEST:
        raise BadAddress(f"at most {LONGEST} characters were expected, in {EXPECTED}")
    if text.count("@") != 1:
        raise BadAddress(f"{EXPECTED}, was expected")
    local, _, domain = text.partition("@")
    if not _LOCAL.fullmatch(local) or not local.isprintable() or set(local) & set(_MARKS_OF_DIRECTION):
        raise BadAddress(f"{EXPECTED}, was expected: before the @ letters, digits, single dots and + - _")
    if len(local.encode()) > LONGEST_LOCAL:
        raise BadAddress(f"at most {LONGEST_LOCAL} characters were expected before the @")
    return f"{local}@{in_ascii(domain)}"


def as_read(address: str) -> str:
    """Return an address as people read it: its domain in its own letters again.

    >>> as_read("josé@xn--mnchen-3ya.example"), as_read("maria@example.com"), as_read("x@xn--.example")
    ('josé@münchen.example', 'maria@example.com', 'x@xn--.example')
    """
    local, at, domain = address.rpartition("@")
    try:
        shown = domain.encode("ascii").decode("idna")
        return f"{local}{at}{shown}" if at and in_ascii(shown) == domain and shown.isprintable() else address
    except (UnicodeError, BadAddress):
        return address


def in_ascii(domain: str) -> str:
    """Return a domain as mail servers look it up. Raises BadAddress.

    >>> in_ascii("Example.com")
    'example.com'
    """
    small = domain.lower()
    if not small.isascii():
        try:
            sent = small.encode("idna").decode("ascii")
            # What does not come back as it was typed (ß, say) may be another place.
            if sent.encode("ascii").decode("idna") != small:
                raise UnicodeError
        except UnicodeError:
            raise BadAddress(
                f"{EXPECTED}, was expected: type the part after the @ in plain letters"
            ) from None
        small = sent
    labels = small.split(".")
    if len(small) > LONGEST_DOMAIN or len(labels) < 2 or not all(map(_LABEL.fullmatch, labels)):
        raise BadAddress(f"{EXPECTED}, was expected: after the @ a name such as example.com")
    if labels[-1].isdigit():
        raise BadAddress(f"{EXPECTED}, was expected: after the @ a name, no number")
    return small


def needs_utf8(address: str) -> bool:
    """Say whether an address can go only through servers that take letters beyond ASCII in it."""
    return not address.isascii()
