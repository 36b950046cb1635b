"""The vent: its kind, clearances, connector, size, end, and whether it draws."""
