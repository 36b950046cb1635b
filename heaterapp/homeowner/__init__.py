"""What the homeowner is told of a record, in English and in Spanish: page, printed sheet, mail, calendar.

    known = Known.of(record, Standing("current"), gas_phone="555-0111")
    page = page_of(known, "es")          everything the page says, as plain data
    done(paper, kind, ...)               who did what and when, as page and mail say it
    has_hazard(known), STOP              whether to stop using the heater, and how that is said
    day_in_words(text, language)
    care_calendar(known, "es", settings) its care as a calendar, bytes

Knows no web and no database. Numbers come from answers and report, never retyped; a number in a fixed
sentence has its source in `sources.SOURCES`.
"""

from heaterapp.homeowner.calendar import care_calendar
from heaterapp.homeowner.known import Known, Standing
from heaterapp.homeowner.page import Page, page_of
from heaterapp.homeowner.said import LANGUAGES, Said, day_in_words, language_of
from heaterapp.homeowner.standing import STOP, has_hazard
from heaterapp.homeowner.what import done

__all__ = [
    "LANGUAGES", "STOP", "Known", "Page", "Said", "Standing", "care_calendar", "day_in_words", "done",
    "has_hazard", "language_of", "page_of",
]  # fmt: skip
