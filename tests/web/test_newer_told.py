"""Who had an earlier paper of a job is offered the new one on its page; nothing is sent by itself."""

from typing import Any

from bs4 import BeautifulSoup

from .test_mails import TO, ask, mailing

__all__ = ["ask", "mailing"]


def test_the_new_paper_is_offered_to_those_who_had_the_one_before(
    visit: Any, issue: Any, store: Any, people: Any, ask: Any
) -> None:
    first, office = issue(), people["a", "office"]
    org, clerk = office.organisation, visit("office")

    def block(number: str, query: str = "") -> Any:
        page = BeautifulSoup(clerk.get(f"/office/records/{number}{query}").text, "html.parser")
        return page.find("section", {"aria-labelledby": "mail"})

    ask(f"/office/records/{first.number}", mail_address=TO, mail_language="es")
    store.mail_queue.sent(store.mail_queue.take(store.mail_queue.due()[0]), "250 taken")
    store.shares.make(org, first.id)
    assert block(first.number).select_one(".mail-before") is None
    second = issue(job_id=first.job_id)
    told = block(second.number)
    assert told.find(id="mail_address")["value"] == ""
    assert told.select_one(".mail-before").text.startswith("1 had an earlier paper by mail and not this one:")
    assert "made by hand: 1." in told.text, "the link of the mail is not counted again"
    assert len(store.mails.of_records(org, [second.id])) == 0
    way = told.select_one(".mail-before a")["href"]
    filled = block(second.number, way.partition("#")[0])
    assert filled.find(id="mail_address")["value"] == TO
    assert filled.select_one("#mail_language [selected]")["value"] == "es"
    assert block(second.number, "?fill=99999").find(id="mail_address")["value"] == ""
    ask(f"/office/records/{second.number}", mail_address=TO)
    assert block(second.number).select_one(".mail-before") is None
