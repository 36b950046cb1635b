"""Thermal expansion on a closed system, and the tank that takes it."""
