"""Permit and the papers left behind."""
