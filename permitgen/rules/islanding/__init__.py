"""The microgrid interconnect device and island operation."""
