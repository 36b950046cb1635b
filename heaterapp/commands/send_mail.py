"""send-mail: the mails that are due, each tried once."""

from __future__ import annotations

import argparse
import sys

from heaterapp.archive.mail_shapes import PERHAPS, SENT
from heaterapp.mailing.sending import Post, Went, account, send_due
from heaterapp.opening import configuration, open_archive
from heaterapp.web import settings, translated
from heaterapp.web.reached import at_start

NAME = "send-mail"
SAYS = "send the mails that are due, each once; exit 1 when one was given up"


def options(parser: argparse.ArgumentParser) -> None:
    """It takes none."""


def run(chosen: argparse.Namespace) -> int:
    """Try what is due and print a line for each, by the number of its paper."""
    config, store = configuration(), open_archive()
    if unnamed := at_start(config["PUBLIC_URL"]):
        print(unnamed, file=sys.stderr)
    try:
        secret = config.get("SECRET_KEY") or settings.secret_key(config["DATA_DIR"])
        tried = send_due(store, Post(config["PUBLIC_URL"], secret, translated.for_mail), _tell)
    finally:
        store.close()
    sent, put_off, given_up = account(tried)
    print(f"{sent} sent, {put_off} put off, {given_up} given up.")
    return 1 if given_up else 0


def _tell(went: Went) -> None:
    mail = went.mail
    if mail.state == SENT:
        how = "sent"
    elif mail.ended:
        how = f"{'perhaps sent, and given up' if mail.state == PERHAPS else 'given up'}: {mail.said}"
    else:
        how = f"{'perhaps sent' if mail.state == PERHAPS else 'put off'} until {mail.next_at}: {mail.said}"
    print(f"{went.number}, mail {mail.id}: {how}", flush=True)
