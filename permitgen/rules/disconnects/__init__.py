"""Disconnecting means of power sources."""
