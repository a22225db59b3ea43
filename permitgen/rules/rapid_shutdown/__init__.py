"""Rapid shutdown of photovoltaic systems."""
