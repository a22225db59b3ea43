"""Every spelling of a unit that is read, with its exact ratio. ``tests/standards`` proves each against a units library.

The list is closed on purpose: an open dictionary of units reads ``200 amps`` as attometres per second and ``200 a`` as
200 years. What is not here is refused with a suggestion.
"""

from __future__ import annotations

from typing import NamedTuple


class Unit(NamedTuple):
    """One unit: ``over / under`` of the base of its ``kind``; ``zero`` its zero point in hundredths (temperatures only).

    ``proof`` is the same unit in the words of the units library.
    """

    kind: str
    over: int
    under: int
    proof: str
    zero: int = 0


# Exact by definition: foot 0.3048 m, pound 0.45359237 kg, standard gravity 9.80665 m/s² (so pound-force 4.4482216152605 N),
# US gallon 231 in³, horsepower 550 ft·lbf/s (NIST SP 811, appendix B).
_LBF = (44482216152605, 10**13)
_LBF_IN_PER_NM = (10**17, 44482216152605 * 254)  # 1 / (4.4482216152605 N x 0.0254 m)
_PSF_PER_PA = (3048**2 * 10**5, 44482216152605)  # (0.3048 m)² / 4.4482216152605 N

# kind, unit in the library's words, over, under, spellings whose case matters, spellings in any case.
# Spellings stand as `unit_key` leaves them: no spaces, no points, `-` between factors, `/` for per, 2 and 3 for powers.
_ROWS: tuple[tuple[str, str, int, int, str, str], ...] = (
    ("current", "ampere", 1, 1, "A", "amp amps ampere amperes a-ac a-dc aac adc aic"),
    ("current", "milliampere", 1, 1000, "mA", "milliamp milliamps milliampere milliamperes"),
    ("current", "kiloampere", 1000, 1, "kA", "kiloamp kiloamps kiloampere kiloamperes kaic"),
    ("charge", "ampere * hour", 1, 1, "Ah", "a-h amp-hour amp-hours ampere-hours"),
    ("voltage", "volt", 1, 1, "V", "volt volts v-ac v-dc vac vdc volts-ac volts-dc volt-dc volt-ac"),
    ("voltage", "millivolt", 1, 1000, "mV", "millivolt millivolts"),
    ("voltage", "kilovolt", 1000, 1, "kV", "kilovolt kilovolts"),
    ("power", "watt", 1, 1, "W", "watt watts w-ac w-dc wac wdc wp"),
    ("power", "kilowatt", 1000, 1, "kW", "kilowatt kilowatts kw-ac kw-dc kwac kwdc kwp"),
    ("power", "megawatt", 10**6, 1, "MW", "megawatt megawatts"),
    ("power", "foot * pound_force * 550 / second", _LBF[0] * 550 * 3048, _LBF[1] * 10**4, "hp", "horsepower"),
    ("apparent power", "volt * ampere", 1, 1, "VA", "volt-ampere volt-amperes volt-amp volt-amps"),
    ("apparent power", "kilovolt * ampere", 1000, 1, "kVA", "kilovolt-ampere kilovolt-amperes"),
    ("apparent power", "megavolt * ampere", 10**6, 1, "MVA", ""),
    ("reactive power", "volt * ampere", 1, 1, "var", "vars"),
    ("reactive power", "kilovolt * ampere", 1000, 1, "kvar", "kvars"),
    ("energy", "watt * hour", 1, 1000, "Wh", "w-h watt-hour watt-hours watthours"),
    ("energy", "kilowatt * hour", 1, 1, "kWh", "kw-h kwhr kw-hr kw-hour kw-hours kilowatt-hour kilowatt-hours"),
    ("energy", "megawatt * hour", 1000, 1, "MWh", "megawatt-hours"),
    ("resistance", "ohm", 1, 1, "Ω", "ohm ohms"),
    ("resistance", "milliohm", 1, 1000, "mΩ mohm", "milliohm milliohms"),
    ("resistance", "kiloohm", 1000, 1, "kΩ", "kohm kohms kilohm kilohms"),
    ("resistance", "megaohm", 10**6, 1, "MΩ Mohm", "megohm megohms megaohm megaohms"),
    ("resistance", "gigaohm", 10**9, 1, "GΩ", "gohm gigohm gigohms gigaohm gigaohms"),
    ("resistance per length", "ohm / kilofoot", 1, 1, "Ω/kft", "ohm/kft ohms/kft ω/1000ft ω/1000-ft ohm/1000-ft ohms/1000-ft"),
    ("resistance per length", "ohm / foot", 1000, 1, "Ω/ft", "ohm/ft ohms/ft"),
    ("resistance per length", "ohm / kilometer", 3048, 10**4, "Ω/km", "ohm/km ohms/km"),
    ("resistance per length", "ohm / meter", 3048, 10, "Ω/m", "ohm/m ohms/m"),
    ("length", "foot", 1, 1, "ft '", "foot feet"),
    ("length", "inch", 1, 12, "in \" ''", "inch inches"),
    ("length", "thou", 1, 12000, "", "mil mils thou"),
    ("length", "yard", 3, 1, "yd", "yds yard yards"),
    ("length", "mile", 5280, 1, "mi", "mile miles"),
    ("length", "kilofoot", 1000, 1, "kft", ""),
    ("length", "meter", 10**4, 3048, "m", "meter meters metre metres"),
    ("length", "centimeter", 10**2, 3048, "cm", "centimeter centimeters centimetre centimetres"),
    ("length", "millimeter", 10, 3048, "mm", "millimeter millimeters millimetre millimetres"),
    ("length", "kilometer", 10**7, 3048, "km", "kilometer kilometers kilometre kilometres"),
    ("area", "foot ** 2", 1, 1, "ft2", "sq-ft sqft square-foot square-feet square-ft"),
    ("area", "inch ** 2", 1, 144, "in2", "sq-in sqin square-inch square-inches square-in"),
    ("area", "meter ** 2", 10**8, 3048**2, "m2", "sq-m sqm square-meter square-meters square-metres"),
    ("area", "centimeter ** 2", 10**4, 3048**2, "cm2", "sq-cm square-centimeters"),
    ("area", "millimeter ** 2", 10**2, 3048**2, "mm2", "sq-mm square-millimeters"),
    ("volume", "inch ** 3", 1, 1, "in3", "cu-in cuin cubic-inch cubic-inches cubic-in"),
    ("volume", "foot ** 3", 1728, 1, "ft3", "cu-ft cuft cubic-foot cubic-feet cubic-ft"),
    ("volume", "centimeter ** 3", 10**6, 254**3, "cm3", "cubic-centimeters"),
    ("volume", "gallon", 231, 1, "gal", "gallon gallons"),
    ("conductor area", "kcmil", 1, 1, "kcmil", "mcm"),
    ("conductor area", "circular_mil", 1, 1000, "cmil", "circular-mil circular-mils"),
    (
        "torque",
        "pound_force * inch",
        1,
        1,
        "lbf-in",
        "in-lb in-lbs in-lbf lb-in lbs-in inch-pound inch-pounds inch-lb inch-lbs pound-inch pound-inches",
    ),
    (
        "torque",
        "pound_force * foot",
        12,
        1,
        "lbf-ft",
        "ft-lb ft-lbs ft-lbf lb-ft lbs-ft foot-pound foot-pounds foot-lb foot-lbs pound-foot pound-feet",
    ),
    ("torque", "newton * meter", *_LBF_IN_PER_NM, "N-m Nm", "newton-meter newton-meters newton-metre newton-metres"),
    ("torque", "newton * centimeter", _LBF_IN_PER_NM[0], _LBF_IN_PER_NM[1] * 100, "N-cm Ncm", "newton-centimeters"),
    ("weight", "pound", 1, 1, "lb", "lbs lbm pound pounds"),
    ("weight", "kilogram", 10**8, 45359237, "kg", "kgs kilogram kilograms kilo kilos"),
    ("load per area", "pound_force / foot ** 2", 1, 1, "psf", "lb/ft2 lbs/ft2 lbf/ft2 lb/sq-ft lbs/sq-ft pounds/square-foot"),
    ("load per area", "pascal", *_PSF_PER_PA, "Pa", "pascal pascals"),
    ("load per area", "kilopascal", _PSF_PER_PA[0] * 1000, _PSF_PER_PA[1], "kPa kN/m2", "kilopascal kilopascals"),
    ("time", "second", 1, 1, "s", "sec secs second seconds"),
    ("time", "millisecond", 1, 1000, "ms", "msec millisecond milliseconds"),
    ("time", "minute", 60, 1, "min", "mins minute minutes"),
    ("time", "hour", 3600, 1, "h", "hr hrs hour hours"),
    ("time", "day", 86400, 1, "d", "day days"),
    ("frequency", "hertz", 1, 1, "Hz", "hertz"),
    ("frequency", "kilohertz", 1000, 1, "kHz", ""),
    ("load density", "volt * ampere / foot ** 2", 1, 1, "VA/ft2", "va/sq-ft va/sqft va/square-foot volt-amperes/square-foot"),
    ("load density", "volt * ampere / meter ** 2", 3048**2, 10**8, "VA/m2", "va/sq-m"),
    ("speed", "mile / hour", 1, 1, "mph", "mi/h miles/hour"),
    ("speed", "kilometer / hour", 10**6, 1609344, "km/h", "kph kmh"),
    ("percentage", "percent", 1, 1, "%", "percent pct"),
    ("angle", "degree", 1, 1, "°", "deg degree degrees"),
    ("temperature coefficient", "percent / kelvin", 1, 1, "%/°C %/K %/C", "%/degc percent/°c percent/degc percent/c percent/k"),
    ("temperature coefficient", "percent * 9 / 5 / kelvin", 9, 5, "%/°F %/F", "%/degf percent/°f"),
    ("voltage coefficient", "volt / kelvin", 1, 1, "V/°C V/K V/C", "v/degc volts/°c volts/degc"),
    ("voltage coefficient", "millivolt / kelvin", 1, 1000, "mV/°C mV/K mV/C", "mv/degc"),
)
_TEMPERATURES = (
    (Unit("temperature", 1, 1, "kelvin", 27315), "°C C", "degc celsius degcelsius centigrade"),
    (Unit("temperature", 5, 9, "kelvin * 5 / 9", 45967), "°F F", "degf fahrenheit degfahrenheit"),
    (Unit("temperature", 1, 1, "kelvin", 0), "K", "kelvin kelvins"),
)
_ALL = [(Unit(kind, over, under, proof), exact, free) for kind, proof, over, under, exact, free in _ROWS]

AS_WRITTEN: dict[str, Unit] = {word: unit for unit, exact, _ in (*_ALL, *_TEMPERATURES) for word in exact.split()}
# Capitals change these: milli and mega, metre and mega, kelvin and kilo, newton and nano.
_CASE_MATTERS = {"mA", "mV", "MW", "MVA", "MWh", "mΩ", "mohm", "MΩ", "Mohm", "m", "K", "Nm", "N-m", "mV/°C", "mV/K", "mV/C"}
ANY_CASE: dict[str, Unit] = {
    **{word.lower(): unit for word, unit in AS_WRITTEN.items() if word not in _CASE_MATTERS},
    **{word: unit for unit, _, free in (*_ALL, *_TEMPERATURES) for word in free.split()},
}

# The unit of each suffix of `values.units.UNITS` that a field may ask for, by the spelling that names it.
_SUFFIX_SPELLINGS = {
    "a": "A", "ka": "kA", "v": "V", "va": "VA", "kva": "kVA", "w": "W", "kw": "kW", "kwh": "kWh",
    "ohm": "Ω", "megohm": "MΩ", "ohm_per_kft": "Ω/kft", "kcmil": "kcmil", "cmil": "cmil", "va_per_ft2": "VA/ft2", "hz": "Hz",
    "ft": "ft", "kft": "kft", "ft2": "ft2", "in": "in", "in2": "in2", "in3": "in3", "deg": "°",
    "c": "°C", "f": "°F", "percent_per_c": "%/°C", "v_per_c": "V/°C", "percent": "%",
    "lbf_in": "lbf-in", "lb": "lb", "psf": "psf", "s": "s",
}  # fmt: skip
BY_SUFFIX: dict[str, Unit] = {
    **{suffix: AS_WRITTEN[spelling] for suffix, spelling in _SUFFIX_SPELLINGS.items()},
    "rise_c": Unit("temperature difference", 1, 1, "kelvin"),
    "factor": Unit("factor", 1, 1, "dimensionless"),
    "count": Unit("count", 1, 1, "dimensionless"),
}


def unit_key(text: str) -> str:
    """Return what follows a number as the lists above spell units; ``text`` is plain (see ``quantity_numbers``)."""
    key = (
        text.replace("²", "2")
        .replace("³", "3")
        .replace(".", "")
        .replace("^", "")
        .replace("**", "")
        .replace("*", "-")
        .replace(" per ", "/")
        .strip(" -")
    )
    key = key.replace(" / ", "/").replace("/ ", "/").replace(" /", "/").replace(" - ", "-").replace(" ", "-")
    return key.replace("deg-", "deg").replace("degrees-", "deg").replace("degree-", "deg").replace("°-", "°")


def unit_of(text: str) -> Unit | None:
    """Return the unit that ``text`` spells, None where it is not in the lists."""
    found = AS_WRITTEN.get(text)
    if found is None:
        key = unit_key(text)
        found = AS_WRITTEN.get(key) or ANY_CASE.get(key.lower())
    return found
