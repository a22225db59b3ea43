"""Equations of the code and of the physics behind it: pure, one expression each, units in the names."""
