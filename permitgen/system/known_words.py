"""The words that a project writes freely and rules compare: each with the names that something depends on.

The lists are those of the rules and tables that ask (``tests/house/test_words_that_rules_compare.py`` holds them against each other), with
further names of the trade. Insulation and wire types: Tables 310.4(1), 402.3 and the cable types of article 722, from memory; other names:
common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """``what`` is one of them in words. ``is_closed`` where no other name can be meant; of the others a name that is not here is kept.

    ``also`` are other spellings, each with its name. ``within`` where rules look for these words anywhere in a text.
    """

    what: str
    names: tuple[str, ...]
    also: Mapping[str, str] = field(default_factory=dict)
    is_closed: bool = False
    within: bool = False


_BUILDING_WIRE = """
FEP FEPB MI MTW PFA PFAH RHH RHW RHW-2 SA SIS TBS TFE THHN THHW THW THW-2 THWN THWN-2 TW UF UF-B USE USE-2 XHH XHHN XHHW XHHW-2 XHWN
XHWN-2 Z ZW ZW-2 NM-B
"""
_CONTROL_WIRE = "TF TFF TFN TFFN RFH-1 RFH-2 RFHH-2 FFH-2 CL2 CL2P CL2R CL2X CL3 CL3P CL3R CL3X PLTC CM CMP CMR CMG TC TC-ER ITC"
INSULATION = Vocabulary("insulation type", ("PV wire", *_BUILDING_WIRE.split(), *_CONTROL_WIRE.split()), is_closed=True)
CONTROL_INSULATION = Vocabulary("insulation or cable type", INSULATION.names)

LISTED_AS = Vocabulary(
    "listing",
    (
        *("service equipment", "suitable for use as service equipment", "transfer switch", "transfer equipment"),
        *("microgrid interconnect device", "meter socket", "meter socket adapter", "meter adapter", "meter collar", "current limiter"),
        *("meter-mounted transfer switch", "meter-mounted microgrid interconnect device", "surge-protective device type 1"),
        *("panelboard", "enclosed switch", "enclosed circuit breaker", "disconnect", "interactive", "none"),
    ),
)

ELECTRODES = Vocabulary(
    "electrode",
    (
        *("ground rod", "rod", "second rod", "pipe electrode", "plate", "concrete-encased", "concrete-encased electrode", "ground ring"),
        *("ring", "water pipe", "metal water pipe", "building steel", "metal in-ground support structure", "none"),
    ),
    also={"ufer": "concrete-encased", "ufer ground": "concrete-encased"},
)

CATEGORY = Vocabulary(
    "category of a load",
    (
        *("general", "cooking", "dryer", "water heater", "fixed appliance", "motor", "space heating", "supplemental heat"),
        *("air conditioning", "heat pump", "ev supply equipment"),
    ),
)

FUNCTIONS = Vocabulary("function of a listing", ("interactive", "multimode"), is_closed=True)
MATERIALS = Vocabulary("metal of a conductor", ("Cu", "Al"), also={"copper": "Cu", "aluminum": "Al"}, is_closed=True)
MODES = Vocabulary("operating mode", ("with the utility", "islanded", "on the generator"), is_closed=True)

SPACE = Vocabulary(
    "kind of space",
    (
        *("accessory", "attic", "barn", "basement", "bathroom", "bedroom", "carport", "closet", "crawl", "dining", "garage", "ground"),
        *("habitable", "hall", "kitchen", "laundry", "living", "mechanical", "office", "outside", "pad", "roof", "shed", "shower"),
        *("sleep", "stair", "storage", "underground", "utility", "wall", "yard"),
    ),
    within=True,
)
CHEMISTRY = Vocabulary("chemistry of a battery", ("lithium", "sodium", "lead", "nickel"), within=True)
