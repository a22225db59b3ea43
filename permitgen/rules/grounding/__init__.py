"""Grounding and bonding."""
