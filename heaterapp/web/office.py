"""The office: find a record, open it, pass it on."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, render_template

from heaterapp.web.security import require

blueprint = Blueprint("office", __name__, url_prefix="/office")


@blueprint.get("")
@require("office", "owner")
def records() -> Any:
    """Show the search box and the newest records."""
    return render_template("error.html", title="Records", says="", code=200)


@blueprint.get("/firm")
@require("owner")
def firm() -> Any:
    """Show the firm's own facts and its people."""
    return render_template("error.html", title="Firm", says="", code=200)
