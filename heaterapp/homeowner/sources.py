"""Where each number in a fixed sentence was read, and what is printed where agencies differ.

A sentence names its sources by id; a test refuses a number, or a span of time in words, that none of them
stands for. Numbers of one job are filled in from its answers and need no line here.
"""

from __future__ import annotations

from typing import NamedTuple

SURENESS = ("read", "two_sources", "practice", "memory")


class Source(NamedTuple):
    """One line of the table.

    numbers  what it stands for: numbers as written, spans of time as "seconds", "minutes", "month", "year",
             "half" a year, "twice"
    document what says it
    read     where it was read
    sure     read, two_sources, practice (usual advice, no one document), memory
    differs  what others say, and which of them is printed
    """

    numbers: tuple[str, ...]
    document: str
    read: str
    sure: str
    differs: str = ""


SOURCES: dict[str, Source] = {
    "emergency_number": Source(
        ("911",),
        "the emergency number of the United States; fire services and utility commissions on gas and alarms",
        "puc.pa.gov gas emergencies; poway.org FAQ 336; semcoenergygas.com; scfmd.az.gov",
        "two_sources",
        "Some cities say 911 only with symptoms, else air the room and call a technician; some utilities say"
        " open windows at a faint smell of gas. Printed is the stricter: leave and call 911.",
    ),
    "propane_leak": Source(
        ("911",),
        "a state fire marshal and a state propane association on the smell of propane: leave, call from afar,"
        " shut the valve at the tank",
        "seacoastonline.com 2010-06-29 (New Hampshire fire marshal); lehighvalleylive.com 2014-02 (the"
        " Pennsylvania propane association); engineerfix.com, who to call for a propane leak",
        "two_sources",
        "Some name the supplier first and 911 where it cannot be reached, some both: printed is both, 911"
        " first. The tank's valve: if nothing is at risk, or without going back in; printed is only where no"
        " gas is smelled.",
    ),
    "burns": Source(
        ("140", "120", "seconds", "minutes"),
        "consumer agency figures on burns of adult skin: 6 s at 140 °F, 5 min at 120 °F",
        "copies at 043d0ad.netsolhost.com/water-scalding-warning and 2024.hotenda.com/ask/1581; the agency's"
        " own leaflet was not opened",
        "two_sources",
        "Burn foundations give 5 s or less at 140 °F, others 10 min at 120 °F: no one figure is printed,"
        " only seconds and minutes.",
    ),
    "advised": Source(
        ("120",),
        "consumer agency advice on the setting of water heaters",
        "cpsc.gov release of 1979; the energy department's advice of 120 °F",
        "two_sources",
        "Too cool a tank lets bacteria grow (from memory): said of the water at the tap, not of the tank.",
    ),
    "alarm_test": Source(
        ("month",),
        "consumer agency page on carbon monoxide alarms: test every month",
        "cpsc.gov CO-Alarms page; taylormillky.gov",
        "read",
        "Some say replace after 5 years, some after 7: printed is the alarm's own date.",
    ),
    "burner_look": Source(
        ("year",),
        "health agency list: fuel-burning heaters and vents looked at yearly by a qualified person",
        "a copy by a news site (m.galaxytoto.org/index-1891.html); stmichaelmn.gov; cdc.gov was not opened",
        "two_sources",
    ),
    "flush": Source(
        ("year", "twice"),
        "advice pages on care: flush once a year, twice where the water is hard",
        "engineerfix.com essential tips; onlinehsa.com routine maintenance; metlifeyourlife.com",
        "read",
        "Yearly or half-yearly: both are printed, the maker's manual first.",
    ),
    "relief_try": Source(
        ("1", "3", "year"),
        "state boiler board and advice pages on trying the relief valve",
        "mass.gov hot-water-heater page; Washington L&I brochure at findforms.com; metlifeyourlife.com",
        "read",
        "Massachusetts: every 2 months, at least yearly; Washington: yearly; others 2 to 3 years. An old"
        " valve may stick open, so only a plumber tries it; the calendar reminds yearly.",
    ),
    "anode": Source(
        ("1", "3", "year"),
        "usual advice on anode rods",
        "engineerfix.com essential tips; thetrainedobserver.substack.com (2 to 3 years); mccorrycomfort.com"
        " (yearly)",
        "practice",
        "Yearly or up to three years: the range is printed, the calendar reminds yearly.",
    ),
    "tank_air": Source(
        ("year",), "usual advice on expansion tanks", "common practice; job.md 3.3", "practice"
    ),
    "straps_look": Source(("year",), "usual advice on straps", "common practice; job.md 3.3", "practice"),
    "descale": Source(
        ("1", "2", "year"),
        "advice pages on tankless heaters: yearly, up to two years where the water is soft",
        "engineerfix.com, how often should a tankless water heater be serviced",
        "read",
        "Hard water: every half year by the same page; the calendar reminds yearly, the maker's manual"
        " first.",
    ),
    "filter": Source(
        ("3", "6", "month"),
        "advice pages on heat pump water heaters",
        "mccorrycomfort.com (every three months); enviroheat.nz (twice a year)",
        "read",
        "Three months or half a year: the range is printed, the calendar reminds every three months.",
    ),
    "condensate": Source(
        ("year",),
        "advice page on heat pump water heaters: clear the condensate drain yearly",
        "thetrainedobserver.substack.com, heat pump water heaters",
        "read",
    ),
    "ca_19211": Source(
        ("19211",),
        "California Health and Safety Code 19211",
        "legislature's site, leginfo.legislature.ca.gov, read 2026-11-25",
        "read",
    ),
}
