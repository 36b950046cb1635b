"""What is issued by a correction is what was looked at: anything typed since is shown first."""

import json
from typing import Any

from bs4 import BeautifulSoup

from .test_history import looked, page_of, quick_judge

__all__ = ["quick_judge"]


def sent(page: BeautifulSoup, act: str) -> dict[str, Any]:
    """What a browser sends by the button of this act: every box of its form, those outside of it too."""
    form = page.find("form", class_="correct-form")
    assert page.find("button", {"name": "act", "value": act})
    boxes = [*form.find_all(("input", "select")), *page.find_all(("input", "select"), form=form["id"])]
    fields: dict[str, Any] = {"act": act}
    for box in boxes:
        if box.get("type") == "radio" and not box.has_attr("checked"):
            continue
        chosen = box.find("option", selected=True) if box.name == "select" else box
        fields[box["name"]] = chosen.get("value", "") if chosen else ""
    return {name: said for name, said in fields.items() if name not in ("csrf_token", "whose")}


def test_what_is_typed_after_looking_is_shown_before_it_is_issued(
    visit: Any, issue: Any, store: Any
) -> None:
    first, clerk = issue(), visit("office")
    path = f"/office/records/{first.number}/correct"
    page = page_of(looked(clerk, first.number, owner_name="Dana Whitlocke"))
    typed = sent(page, "make") | {"address_unit": "B", "reason": "misspelt"}
    for wrong, says in (({}, "Look at it again"), ({"work_date": "soon"}, "Nothing was changed")):
        again = clerk.post(path, typed | wrong)
        assert again.status_code in (409, 422)
        assert says in again.text
        kept = sent(page_of(again), "make" if not wrong else "look")
        assert (kept["address_unit"], kept["owner_name"]) == ("B", "Dana Whitlocke")
        assert kept["reason"] == "misspelt"
        assert store.records.status(first.organisation, first.id).state == "current"
    done = clerk.post(path, sent(page_of(clerk.post(path, typed)), "make"))
    assert done.status_code == 303, done.text
    made = store.records.by_number(first.organisation, done.location.rpartition("/")[2])
    assert json.loads(made.job)["address_unit"] == "B"
    # Back, typed over once more and sent again: it was replaced meanwhile, and what was typed stands.
    late = clerk.post(path, typed | {"address_unit": "C"})
    assert late.status_code == 409
    assert sent_box(late, "address_unit") == "C"


def sent_box(answer: Any, name: str) -> str:
    return str(page_of(answer).find("input", {"name": name})["value"])
