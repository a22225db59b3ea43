"""The three-line diagram: the same tree and the same stacking as the one-line, every conductor drawn."""
