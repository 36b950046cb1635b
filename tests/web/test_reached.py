"""The address that homeowners reach: where none is named, what needs it says so by name, before anything goes out."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.__main__ import main
from heaterapp.mailing.links import NAMED_SO


def notices(answer: Any) -> list[str]:
    return [one.text for one in BeautifulSoup(answer.text, "html.parser").select(".notice") if NAMED_SO in one.text]


def test_every_page_that_makes_a_link_or_sets_up_mail_names_what_is_missing(app: Any, issue: Any, visit: Any) -> None:
    record, office, installer, owner = issue(), visit("office"), visit("installer"), visit("owner")
    page, job = f"/office/records/{record.number}", f"/jobs/{record.job_id}"
    for address, count in (("", 1), ("https://papers.harbor.example", 0)):
        app.config["PUBLIC_URL"] = address
        assert len(notices(office.get(page))) == count
        made = office.post(f"{page}/share", {"act": "make", "ends": "never"})
        assert len(notices(office.get(made.location))) == count
        assert len(notices(installer.get(f"{job}/issued"))) == count
        assert len(notices(installer.get(installer.post(f"{job}/link", {"link_days": ""}).location))) == count
        firm = [one.split(":")[0] for one in notices(owner.get("/office/firm"))]
        assert firm == count * [
            "The square code on papers opens the check page. No address is named for it", "No mail can go yet",
        ]  # fmt: skip


def test_set_up_says_it_too(tmp_path: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("HEATERAPP_DATA", str(tmp_path))
    monkeypatch.delenv("HEATERAPP_PUBLIC_URL", raising=False)
    main(["setup"])
    assert NAMED_SO in capsys.readouterr().out
    monkeypatch.setenv("HEATERAPP_PUBLIC_URL", "https://papers.harbor.example")
    main(["setup"])
    assert "PUBLIC_URL" not in capsys.readouterr().out
