"""Exit status of every command."""

DONE = 0
VIOLATIONS = 1
BAD_INPUT = 2
CANNOT_WRITE = 3
