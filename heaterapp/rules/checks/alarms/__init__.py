"""Alarms that the work makes necessary."""
