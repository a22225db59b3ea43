"""The sheets of the plan set: each places the words of a view on a framed page."""
