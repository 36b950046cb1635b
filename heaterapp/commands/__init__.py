"""Commands of `python -m heaterapp`, a module each, found by being here.

A module gives NAME and SAYS (its words in the list), `options(parser)` to name its arguments,
and `run(chosen) -> int`, the exit status. It raises `heaterapp.opening.Stopped` with one sentence.
"""
