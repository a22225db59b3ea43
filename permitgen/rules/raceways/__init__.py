"""Raceways, cables and boxes."""
