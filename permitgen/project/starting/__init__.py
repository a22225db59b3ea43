"""Starts a project: the questions, what their answers write, and the commented file that comes of it."""
