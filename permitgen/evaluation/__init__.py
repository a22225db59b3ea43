"""Runs every rule once and keeps the result, immutable, for everything that is written."""
