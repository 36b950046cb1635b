"""The token of the link in a mail: made anew for each try, and the same one each time.

It is worked from the key of the archive's cookies, so it need not be stored anywhere, and a mail that is
tried again is the same mail to the byte. Who has the key and a copy of the database has the papers
themselves, and gains nothing by the token; who has but one of the two cannot make it.
"""

from __future__ import annotations

import base64
import hashlib
import hmac

from heaterapp.archive.mail_shapes import Mail

NAMED_SO = "HEATERAPP_PUBLIC_URL=https://papers.example.com"
"""How whoever runs the program names the address that links begin with."""
PURPOSE = "heaterapp: the homeowner's link in a mail"
TOKEN_BYTES = 24


def token_of(secret: str | bytes, mail: Mail) -> str:
    """Return the token of the link that a mail carries: 192 bits, as unguessable as the key.

    secret  the key that signs the cookies
    """
    key = secret.encode() if isinstance(secret, str) else secret
    what = "\n".join((PURPOSE, str(mail.organisation), str(mail.record), str(mail.id), mail.message_id))
    digest = hmac.new(key, what.encode(), hashlib.sha256).digest()
    return base64.urlsafe_b64encode(digest[:TOKEN_BYTES]).decode("ascii").rstrip("=")
