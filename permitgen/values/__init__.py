"""What a number is: its unit, where it came from, how it was derived. Imports nothing else of the project."""
