"""Physics and statics, one subject a module. Knows no code book and no job.

Every function takes and returns `Decimal` in the unit its argument's name ends
with, computes in a context of its own (28 digits, half-even) and rounds nothing
else: the same input gives the same digits on every machine and under every
caller's settings. An argument outside its range raises `ValueError` naming it.
"""
