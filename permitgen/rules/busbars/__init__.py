"""Busbars fed by several sources."""
