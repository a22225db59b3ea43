"""Symbols of the drawings, one file a family. Shapes follow IEEE 315 (ANSI Y32.2); proportions are our own, from memory of the forms."""
