"""The project file: read with positions, checked, its quantities converted, turned into a system. Bad input ends here."""
