"""Breaker, wire, disconnect, bonding, and filling before power."""

NO_AMPERES = (
    "Read the plate again: its amperes, or its kW and the volts they are given at. Where it has neither, ask the"
    " maker by the model number. Do not go by the old breaker."
)
