"""What each document says: finished text and derivations as plain frozen data. No style, no font, no arithmetic."""
