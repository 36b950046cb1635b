"""What the homeowner is told of a record, in English and in Spanish: page, printed sheet, mail, calendar.

    known = Known.of(record, Standing("current"), gas_phone="555-0111")
    page = page_of(known, "es")          everything the page says, as plain data
    as_text(page)                        the same as plain text, for a mail
    care_calendar(known, "es", settings) its care as a calendar, bytes

Knows no web and no database. Numbers come from answers and report, never retyped; a number in a fixed
sentence has its source in `sources.SOURCES`.
"""

from heaterapp.homeowner.calendar import care_calendar
from heaterapp.homeowner.known import Known, Standing
from heaterapp.homeowner.page import Page, as_text, page_of
from heaterapp.homeowner.said import LANGUAGES, Said, language_of

__all__ = [
    "LANGUAGES", "Known", "Page", "Said", "Standing", "as_text", "care_calendar", "language_of", "page_of",
]  # fmt: skip
