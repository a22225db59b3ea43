"""Exit status of every command."""

DONE = 0
"""Done, and nothing violated."""
VIOLATIONS = 1
"""Done: rules are violated, or a package differs from its manifest. Nothing else ends in 1."""
BAD_INPUT = 2
"""The input or the command line cannot be used; nothing was written."""
CANNOT_WRITE = 3
"""A file, a folder or the standard output cannot be written; what was there before is whole."""
FAULT = 4
"""A fault of this program; a report of it was written."""
INCOMPLETE = 5
"""Done, but a document could not be made; the others were written and say so. Stands over 1."""
STOPPED = 130
"""Stopped from the keyboard, as shells count it (128 and the number of SIGINT)."""
