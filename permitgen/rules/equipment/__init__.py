"""Equipment, enclosures and terminals."""
