"""seal-key: the keys of the firm's seal by their fingerprints; makes a new one."""

from __future__ import annotations

import argparse
from typing import Any

from heaterapp import sealing
from heaterapp.opening import Stopped, open_archive

NAME = "seal-key"
SAYS = "list the keys of the firm's seal, or make a new one in place of the one in use"


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--new", action="store_true", help="make a new key; the old private key is deleted")
    parser.add_argument("--firm", help="short name of the firm, where there are several")


def run(chosen: argparse.Namespace) -> int:
    store = open_archive()
    try:
        firm = store.organisations.by_slug(chosen.firm) if chosen.firm else store.organisations.default()
        if chosen.new:
            _make(store, firm)
        seals = store.seals.all_of(firm.id)
        works = store.seals.with_key(firm.id) is not None
    finally:
        store.close()
    if not seals:
        print("There is no key yet. --new makes one; so does the setting on the page Firm.")
    for one in seals:
        made, retired = one.made_at[:10], (one.retired_at or "")[:10]
        when = f"from {made} to {retired}" if retired else f"since {made}"
        here = "" if works or one.retired_at else ", its private key is not here"
        trust = f", not trusted since {one.distrusted_at[:10]}" if one.distrusted_at else ""
        print(f"{sealing.grouped(one.fingerprint)}  {when}{here}{trust}")
    return 0


def _make(store: Any, firm: Any) -> None:
    try:
        made = sealing.new_key(firm.name, store.database.moment())
    except ValueError as nameless:
        raise Stopped("The seal carries the firm's name, and it has none: see the page Firm.") from nameless
    standing = store.seals.current(firm.id)
    replaced = standing.fingerprint if standing else None
    store.seals.make(firm.id, None, made.certificate, made.private, replaced)
