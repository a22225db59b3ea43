"""Load calculations, and the capacity of services, feeders and backup sources."""
