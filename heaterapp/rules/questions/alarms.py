"""Alarms, filling, firing, the last readings, and hazards met."""

from ..question import choice, number, other, text, yes_no
from ..when import is_
from .plate import FUEL

HAZARD = is_("hazard_found", "gas_leak", "spillage", "scorch", "co", "other")
HAZARDS = {
    "none": "None", "gas_leak": "Gas leak", "spillage": "Flue gas spilling", "scorch": "Scorching",
    "co": "Carbon monoxide", "other": "Other",
}  # fmt: skip

QUESTIONS = (
    choice("hazard_found", "Hazard found", HAZARDS, measured=True),
    choice("hazard_action", "What was done about it", {
        "repaired": "Repaired and tested again", "shut_off": "Heater shut off and tagged",
        "supplier_called": "Gas supplier or fire service called", "owner_told": "Owner told in writing",
    }, when=HAZARD),
    text("hazard_words", "What the hazard is, in your words", when=HAZARD,
         hint="What and where, such as: flue joint rusted through above the draft hood. It stands on the paper."),
    text("hazard_told", "Who was told of it", when=HAZARD, hint="A name or a role. It stands on the paper."),
    other("hazard_told_on", "Day they were told", "date", when=HAZARD, record=True),
    yes_no("co_alarm_outside_sleeping", "Carbon monoxide alarm outside each sleeping area"),
    yes_no("co_alarm_each_level", "Carbon monoxide alarm on each level"),
    yes_no("smoke_alarms_ok", "Smoke alarms in place"),
    yes_no("filled_and_purged", "Filled, air purged"),
    yes_no("no_leaks_seen", "No water leaks seen"),
    choice("spillage_after_5min", "Spillage at the draft hood after 5 minutes", {
        "none": "None", "seen": "Seen", "not_tested": "Not tested",
    }, when=FUEL & is_("draft_kind", "draft_hood", "fan_assisted"), measured=True,
        hint="Doors and windows closed, exhaust fans on; smoke at the hood. Still spilling: shut it off."),
    yes_no("spillage_test_fans_on", "Exhaust fans ran during the spillage test", when=FUEL & is_("draft_kind", "draft_hood"),
           hint="The clothes dryer too. No fan in the house: yes."),
    number("outlet_temperature_f", "Hot water at a tap", "degF", ("33", "212"), ("100", "140"), measured=True,
           hint="Caution: it can scald; over the thermometer, never the hand. May stay open: recovery takes an hour."),
)  # fmt: skip
