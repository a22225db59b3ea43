"""The typefaces that ship with the program, and what must be known of them to set text to a measured height."""
