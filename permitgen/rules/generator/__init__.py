"""Generators and optional standby systems."""
