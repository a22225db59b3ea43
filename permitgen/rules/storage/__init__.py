"""Energy storage systems."""
