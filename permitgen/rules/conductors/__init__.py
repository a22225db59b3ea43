"""Conductors: ampacity, terminals, sizes, voltage drop."""
