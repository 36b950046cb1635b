"""Neighbouring editions of one code differ exactly where this list says so, and nowhere else.

An edition restates everything, so a value mended in one edition and forgotten in the next, or
copied where the text had changed, shows here. Each row names where the change was read.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from heaterapp.rules import book
from heaterapp.rules.book import Table

LINES = (
    ("upc_2015", "upc_2018", "upc_2021", "upc_2024"),
    ("irc_2015", "irc_2018", "irc_2021"),
    ("ipc_2018", "ipc_2021"),
    ("ifgc_2018", "ifgc_2021"),
    ("imc_2018", "imc_2021"),
    ("nec_2014", "nec_2017", "nec_2020", "nec_2023"),
)
PAIRS = [pair for line in LINES for pair in pairwise(line)]
STATED = "stated"
C_TO_F = ("C", "D", "D0", "D1", "D2", "E", "F")
PIPES = ("0.5", "0.75", "1", "1.25", "1.5", "2")

ANSWER_2023 = "publisher's answers and analysis, second quarter 2023 (eofficial.org) on UPC 507.2"
SPOTLIGHT_2024 = "publisher's code spotlight 29 Aug 2024 (2024 UPC 608.2)"
FORUM_ALARMS = "IRC 2015 R315.2.2 on a code forum exempts plumbing work; the 2018 wording was not read"
PAN_2015 = "2015 IRC ch. 28 bars it; inspectors' forum (forum.nachi.org 195634) on the 2018 change"
GFCI_2020 = "a list of the NEC 2020 changes (pdf4pro.com): 125 to 250 V, whatever the amperes; basements finished or not"
WET = ("garage", "outdoors", "crawl_space", "bathroom")
ITEMS = "thirteen items to 2015 (hinarratives.com), fourteen from 2018 (2018 IPC 504.6 list)"

# older, newer, clause, value: what the older holds, what the newer holds, where the change was read
DIFFERENCES: dict[tuple[str, str, str, str], tuple[Any, Any, str]] = {
    ("upc_2018", "upc_2021", "seismic.required", "always"): (False, True, ANSWER_2023),
    ("upc_2018", "upc_2021", "seismic.required", "categories"): (C_TO_F, None, ANSWER_2023),
    ("upc_2018", "upc_2021", "seismic.required", "categories_in_doubt"): (("A", "B"), None, ANSWER_2023),
    ("upc_2021", "upc_2024", "expansion.pressure_limit", STATED): (None, True, SPOTLIGHT_2024),
    ("upc_2021", "upc_2024", "expansion.pressure_limit", "limit"): (None, "80", SPOTLIGHT_2024),
    ("upc_2021", "upc_2024", "expansion.support", STATED): (None, True, SPOTLIGHT_2024),
    ("upc_2021", "upc_2024", "expansion.support", "pipe_alone_barred"): (None, True, SPOTLIGHT_2024),
    ("irc_2015", "irc_2018", "alarms.carbon_monoxide", "on_replacement"): ("advice", "authority", FORUM_ALARMS),
    ("irc_2015", "irc_2018", "pan.plastic_under_gas", "gas_barred"): (True, None, PAN_2015),
    ("irc_2015", "irc_2018", "pan.plastic_under_gas", "gas_by_listing"): (None, True, PAN_2015),
    ("irc_2015", "irc_2018", "relief.end_height", "least_diameters"): (None, "2", ITEMS),
    ("irc_2015", "irc_2018", "relief.pipe_size", "sizes"): (None, PIPES, ITEMS),
    ("nec_2017", "nec_2020", "electric.ground_fault", "rooms"): (WET, (*WET, "basement"), GFCI_2020),
    ("nec_2017", "nec_2020", "electric.ground_fault", "rooms_in_doubt"): (("basement", "utility"), ("utility",), GFCI_2020),
    ("nec_2017", "nec_2020", "electric.ground_fault", "up_to_volts"): ("125", "250", GFCI_2020),
    ("nec_2017", "nec_2020", "electric.ground_fault", "up_to_amps"): ("20", None, GFCI_2020),
}  # fmt: skip

# Section numbers that moved between editions: older, newer, clause -> number before, number after, where read
MOVED = {
    ("irc_2015", "irc_2018", "place.attic_access"): ("M1305.1.3", "M1305.1.2", "atxinspect.com; from memory"),
    ("irc_2018", "irc_2021", "supply.hot_pipe_insulation"): ("N1103.5.3", "N1103.5.2", "code forum 34692, 272012"),
    ("ipc_2018", "ipc_2021", "paperwork.permit"): ("106.1", "105.1", "from memory"),
    ("nec_2020", "nec_2023", "electric.shared_circuit"): ("210.23(A)", "210.23(B)", "from memory"),
    ("nec_2017", "nec_2020", "electric.ampacity"): ("Table 310.15(B)(16)", "Table 310.16", "from memory"),
    ("nec_2017", "nec_2020", "electric.ampacity_aluminum"): ("Table 310.15(B)(16)", "Table 310.16", "from memory"),
}  # fmt: skip


def _plain(value: Any) -> Any:
    if isinstance(value, Table):
        return f"table {value.name}"
    if isinstance(value, tuple):
        return tuple(_plain(one) for one in value)
    return value if isinstance(value, bool | str) else str(value)


def _held(name: str) -> dict[tuple[str, str], Any]:
    _, clauses, _ = book.book(name)
    values = {(i, key): _plain(v) for i, clause in clauses.items() for key, v in clause.values.items()}
    return {**dict.fromkeys(((ident, STATED) for ident in clauses), True), **values}


def test_every_edition_of_a_line_is_compared_and_every_line_is_whole() -> None:
    listed = {one for place in set(book.place_names().values()) for one in book.place(place).about["books"]}
    complete = {name for name in listed if book.book(name)[0]["family"] in ("upc", "irc", "ipc", "ifgc", "imc", "nec")}
    assert complete == {name for line in LINES for name in line}
    assert {pair[:2] for pair in (*DIFFERENCES, *MOVED)} <= set(PAIRS)


@pytest.mark.parametrize(("older", "newer"), PAIRS)
def test_editions_differ_where_the_list_says_and_nowhere_else(older: str, newer: str) -> None:
    before, after = _held(older), _held(newer)
    differ = {
        key: (before.get(key), after.get(key))
        for key in before.keys() | after.keys()
        if before.get(key) != after.get(key)
    }
    listed = {key[2:]: said[:2] for key, said in DIFFERENCES.items() if key[:2] == (older, newer)}
    assert differ == listed


@pytest.mark.parametrize(("older", "newer"), PAIRS)
def test_section_numbers_move_where_the_list_says_and_nowhere_else(older: str, newer: str) -> None:
    _, before, _ = book.book(older)
    _, after, _ = book.book(newer)
    moved = {
        ident: (before[ident].section, after[ident].section)
        for ident in before.keys() & after.keys()
        if before[ident].section != after[ident].section
    }
    assert moved == {key[2]: said[:2] for key, said in MOVED.items() if key[:2] == (older, newer)}


@pytest.mark.parametrize(("older", "newer"), PAIRS)
def test_what_an_edition_is_silent_on_its_neighbour_states_or_is_silent_on_too(older: str, newer: str) -> None:
    for one, other in ((older, newer), (newer, older)):
        _, stated, silent = book.book(other)
        assert set(book.book(one)[2]) <= stated.keys() | silent.keys()


@pytest.mark.parametrize("line", LINES, ids=lambda line: line[0].split("_")[0])
def test_an_edition_is_read_in_its_own_year_or_says_where_else(line: tuple[str, ...]) -> None:
    for name in line:
        about, clauses, _ = book.book(name)
        own = about["title"].rsplit(" ", 1)[1]
        assert own == name.rsplit("_", 1)[1] == str(about["edition"])
        for ident, clause in clauses.items():
            if clause.confidence == "carried":
                same = clause.carried_from in (about["title"], f"{about['family'].upper()} {own}")
                assert not same, f"{name} {ident}: carried from itself"


OWN_FAMILY = {
    "ifgc": ("IFGC", "IRC", "IMC", "Fuel Gas Code", "Mechanical Code", "national specification"),
    "irc": ("IRC", "IFGC", "IMC", "IPC", "IBC", "Fuel Gas Code", "Mechanical Code", "national specification"),
    "ipc": ("IPC", "IRC", "IFGC", "IBC"),
    "upc": ("UPC", "NFPA 54"),
}
ONLY_ELSEWHERE = {
    # the clause is cited as NFPA 54's own, which was read
    "heater.altitude",
    # of a vent that an appliance left the 2012 text of the plumbing code says nothing in its 509.5 and 509.6
    "vent_sizing.resized",
    # the guide read is one to these codes
    "place.work_space",
    # spaces and cold were read in the IRC itself, walls and floors in the other family's text
    "venting.single_wall",
    # the page of the IRC is cut; its end was read there, the table in the other family's text
    "venting.wall_terminal",
}


@pytest.mark.parametrize("edition", [one for one in book.book_ids() if one.split("_")[0] in OWN_FAMILY])
def test_what_is_carried_was_read_in_a_book_of_its_own_family(edition: str) -> None:
    _, clauses, _ = book.book(edition)
    own = OWN_FAMILY[edition.split("_")[0]]
    carried = {ident: one for ident, one in clauses.items() if one.confidence == "carried"}
    assert carried
    for ident, one in carried.items():
        of_own = any(word in one.carried_from for word in own)
        assert of_own or ident in ONLY_ELSEWHERE or "city code on" in one.carried_from, f"{edition} {ident}: {one.carried_from}"
