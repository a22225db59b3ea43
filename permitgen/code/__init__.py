"""The electrical code: provisions by edition, tables and equations. Knows neither an installation nor file nor paper."""
