"""Services and service equipment."""
