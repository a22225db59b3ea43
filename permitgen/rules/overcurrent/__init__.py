"""Overcurrent devices."""
