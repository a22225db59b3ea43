"""Questions the graph answers. Never a flag in the file."""
