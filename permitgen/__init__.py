"""From one site's facts to an electrical calculation, plan sheets, labels, placard, checklist and record."""

__version__ = "0.1.0"
