"""Abbreviations of the plan set: those that its sheets really use, with what they stand for."""

from __future__ import annotations

import re
from collections.abc import Iterable

# Words of the trade and of the code; insulation types by their letters in the code's table of conductor constructions.
ABBREVIATIONS: dict[str, str] = {
    "1P": "one pole",
    "2P": "two poles",
    "3P": "three poles",
    "A": "ampere",
    "ac": "alternating current",
    "Al": "aluminum",
    "AWG": "American wire gage",
    "COM": "communication equipment",
    "Cu": "copper",
    "dc": "direct current",
    "(E)": "existing",
    "EGC": "equipment grounding conductor",
    "EMT": "electrical metallic tubing",
    "ENT": "electrical nonmetallic tubing",
    "EV": "electric vehicle",
    "EVSE": "electric vehicle supply equipment",
    "FMC": "flexible metal conduit",
    "G": "ground, equipment grounding conductor",
    "GEC": "grounding electrode conductor",
    "IFC": "International Fire Code",
    "IMC": "intermediate metal conduit",
    "ILK": "interlock: the switches with the same number are held by it",
    "IR": "interrupting rating",
    "IRC": "International Residential Code",
    "kA": "kiloampere",
    "kcmil": "thousand circular mils",
    "kVA": "kilovolt-ampere",
    "kW": "kilowatt",
    "kWh": "kilowatt-hour",
    "LFMC": "liquidtight flexible metal conduit",
    "LFNC-B": "liquidtight flexible nonmetallic conduit, type B",
    "MC": "metal-clad cable",
    "(N)": "new",
    "N": "neutral, grounded conductor",
    "N-G": "neutral to ground",
    "NEC": "National Electrical Code",
    "NFPA": "National Fire Protection Association",
    "NM-B": "nonmetallic-sheathed cable",
    "PV": "photovoltaic",
    "PVC-40": "rigid PVC conduit, schedule 40",
    "PVC-80": "rigid PVC conduit, schedule 80",
    "RMC": "rigid metal conduit",
    "SCCR": "short-circuit current rating",
    "SER": "service-entrance cable, round",
    "SEU": "service-entrance cable, flat",
    "TC-ER": "tray cable for exposed runs",
    "THWN-2": "thermoplastic, nylon jacket, 90 °C wet and dry",
    "UF-B": "underground feeder cable",
    "UL": "Underwriters Laboratories",
    "V": "volt",
    "VA": "volt-ampere",
    "W": "watt",
    "XHHW-2": "cross-linked polyethylene, 90 °C wet and dry",
}
_WORD = re.compile(r"\([EN]\)|[0-9]?[A-Za-z][A-Za-z0-9-]*")


def abbreviations_in(texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Return the abbreviations that stand in ``texts`` as words, in the order of the alphabet, with what they mean."""
    used = {word for text in texts for word in _WORD.findall(text)}
    return tuple((short, meaning) for short, meaning in ABBREVIATIONS.items() if short in used)
