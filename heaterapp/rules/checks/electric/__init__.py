"""Breaker, wire, disconnect, bonding, and filling before power."""
