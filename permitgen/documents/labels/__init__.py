"""Labels set to the letter heights that bind them, their diagrams, and the sheets, tapes and plates they come on."""
