"""An organisation taken along whole: into one ZIP, and from it into an empty place.

    store.moving.pieces(org) -> context of a Leaving: pieces(), counts     written in flat memory
    store.moving.bring(file, in_place_of=None) -> Brought                  verified, then kept, or refused

The ZIP holds `manifest.json`, `SHA256SUMS`, the rows of every table as JSON lines under `tables/`, and what
is no text as members named by digest. Passwords' hashes, passkeys, sign-ins, invitations and the mail's
password stay behind: a file that goes from hand to hand must open no door. People get new passwords.

The log names organisation, people, records and shares by id, so an import keeps every id, and goes
only where they are free. It adds nothing to the log. That a ruleset came from elsewhere is known by the
setting `imported`: what the log held at that moment (`upto`, its last entry) was not witnessed here,
so its rulesets judge only where this program knows their digest (`archive/origins.py`, `releases.py`).
"""

from heaterapp.archive.moving.bringing import Brought, Moving
from heaterapp.archive.moving.reading import ImportRefused

__all__ = ["Brought", "ImportRefused", "Moving"]
