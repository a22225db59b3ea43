"""One file per kind of equipment."""
