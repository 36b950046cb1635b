"""The address that homeowners reach these pages under: what is said where it is needed and none is named."""

from __future__ import annotations

from flask import Blueprint, current_app

from heaterapp.languages import say
from heaterapp.mailing.links import NAMED_SO
from heaterapp.web.settings import public_address

blueprint = Blueprint("reached", __name__)


def at_start(address: str) -> str:
    """Return what a command says of the address that is set; nothing where there is one.

    >>> at_start("https://papers.example.com"), at_start("")[:26]
    ('', 'No HEATERAPP_PUBLIC_URL is')
    """
    if address:
        return ""
    return (
        "No HEATERAPP_PUBLIC_URL is named: no paper goes by mail, and links and the square codes on papers"
        " begin with the address that a page was opened by. Name the one that homeowners reach, such as"
        f" {NAMED_SO}."
    )


def no_mail() -> str:
    """Return why no mail with a paper can go for want of that address; empty where it is named."""
    if current_app.config["PUBLIC_URL"]:
        return ""
    return say(
        "No mail can go yet: its link needs the address that homeowners reach these pages under, and none is"
        " named. Whoever runs the program starts it with one, such as {example}.",
        example=NAMED_SO,
    )


@blueprint.app_template_global()
def unreached() -> str:
    """Return what to know of a link made now without that address; empty where it is named."""
    if current_app.config["PUBLIC_URL"]:
        return ""
    return say(
        "This link begins with {here}, as this page was opened: homeowners may not reach it. Whoever runs the"
        " program starts it with the address that they reach, such as {example}.",
        here=public_address(""), example=NAMED_SO,
    )  # fmt: skip


@blueprint.app_template_global()
def square_codes() -> str:
    """Return what papers signed now carry without that address, for the owner; empty where it is named."""
    if current_app.config["PUBLIC_URL"]:
        return ""
    return (
        "The square code on papers opens the check page. No address is named for it: papers signed now carry,"
        f" for good, the one that their signer opened these pages by, as you did {public_address('')}."
        f" Whoever runs the program starts it with the right one, such as {NAMED_SO}."
    )
