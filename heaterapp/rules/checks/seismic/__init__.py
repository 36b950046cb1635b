"""Bracing against earthquake: where the straps sit, what they hold to, and whether they would hold."""
