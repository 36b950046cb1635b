"""Which passwords are refused, and what is said about it.

Length and a list of well-known ones, no rules on composition, as the OWASP
application security verification standard 5.0 asks (6.2.1, 6.2.4, 6.2.5). The
list here is short and from memory: words that people type first, with the usual
figures after them.
"""

from __future__ import annotations

import re

from heaterapp.archive.checking import LONGEST_PASSWORD, SHORTEST_PASSWORD
from heaterapp.languages import say

FEWEST_DIFFERENT = 5
KNOWN = frozenset(
    """
    password passw0rd letmein welcome qwerty qwertyuiop azerty abc iloveyou sunshine princess football
    baseball dragon monkey master admin administrator root login secret changeme trustno superman batman
    starwars whatever computer internet default guest test tester testing demo plumber plumbing heater
    waterheater hotwater password1234 qwerty12345 asdfghjkl zxcvbnm michael jennifer summer winter spring
    autumn monday company office owner installer contrasena contraseña
    """.split()
)
_TAIL = re.compile(r"[\W\d_]+")


def weakness(password: str, *names: str) -> str:
    """Return why this password is refused, or an empty string.

    names  the person's own names and the firm's, which are guessed first

    >>> weakness("short"), weakness("Password2026!"), weakness("copper-kettle-47")
    ('Use at least 10 characters.', 'This is one of the passwords that are guessed first. Take another.', '')
    """
    if len(password) < SHORTEST_PASSWORD:
        return say("Use at least {count} characters.", count=SHORTEST_PASSWORD)
    if len(password) > LONGEST_PASSWORD:
        return say("Use at most {count} characters.", count=LONGEST_PASSWORD)
    if len(set(password.casefold())) < FEWEST_DIFFERENT:
        return say("Use more than a few different characters.")
    core = _TAIL.sub("", password.casefold())
    own = {_TAIL.sub("", name.casefold()) for name in names}
    if not core or core in KNOWN or core in own or core in {half + half for half in KNOWN | own}:
        return say("This is one of the passwords that are guessed first. Take another.")
    return ""
