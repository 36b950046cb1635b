"""The page that makes one record again and compares."""

import pytest

from heaterapp import releases


def test_the_record_s_page_leads_to_it_and_it_says_the_same(visit, issue):
    record, office = issue(), visit("office")
    way = f"/office/records/{record.number}/recompute"
    assert f'href="{way}"' in office.get(f"/office/records/{record.number}").text
    page = office.get(way)
    assert page.status_code == 200
    assert "Made again: the same" in page.text
    assert "<dt>certificate.pdf</dt><dd>the same, byte for byte" in page.text


def test_it_says_what_differs(visit, issue, app, monkeypatch):
    record = issue()
    app.config["RENDER"] = lambda record: {"certificate.pdf": b"%PDF other"}
    page = visit("owner").get(f"/office/records/{record.number}/recompute").text
    assert "other bytes than today" in page
    assert "Made again: the same" in page
    monkeypatch.setattr(releases, "was_released", lambda *_, **__: False)
    page = visit("owner").get(f"/office/records/{record.number}/recompute").text
    assert "Made again: not the same" in page
    assert "was never released" in page


@pytest.mark.parametrize(
    ("role", "firm", "answer"), [(None, "a", 302), ("installer", "a", 403), ("office", "b", 404)]
)
def test_nobody_else_gets_there(visit, issue, role, firm, answer):
    assert visit(role, firm=firm).get(f"/office/records/{issue().number}/recompute").status_code == answer
