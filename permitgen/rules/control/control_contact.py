"""The contact that opens or closes a control circuit is rated for its voltage, its current and its kind."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply, not_judged, require, require_at_least
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.control_circuit import ControlCircuit
    from permitgen.values.value import Value


@rule(
    "control-contact",
    title="The contact that opens or closes a control circuit is rated for its voltage, its current and its kind",
    provision="listed_and_instructed",
    judges="control circuit",
)
def judge(control: ControlCircuit, given: Given) -> Judgement:
    """Judge the ratings of a switch or relay contact in a control circuit.

    Requires: rated voltage and current ≥ those of the circuit, and a rating for its kind of current.
    Why: a contact made for ac draws its arc on in a dc loop; what does not open does not shut down.
    Applies to: control circuits but communication; switches that start shutdown by the section on switches.
    Example that fails: a 240 V coil on a contact for 30 V; an ac snap switch in a 48 V dc loop.
    Example that passes: a 24 V coil on that contact.
    """
    if control.purpose == "communication":
        return does_not_apply(f"{control.tag}: no contact opens or closes it")
    parts = [
        _rated(control, "voltage", "V", control.contact_v, control.volts),
        _rated(control, "current", "A", control.contact_a, control.current_a),
        *_kind(control),
    ]
    found = all_of(f"{control.tag}: its contact is rated for {control.purpose}", parts)
    return found.under(given.provision("switch_rating")) if "shutdown" in control.purpose else found


def _rated(control: ControlCircuit, what: str, unit: str, rating: Value | None, actual: Value | None) -> Judgement:
    missing = [f"{what} of {control.tag}"] if actual is None else []
    missing += [f"rated {what} of the contact of {control.tag}"] if rating is None else []
    if rating is None or actual is None:
        return not_judged(*missing)
    message = f"{control.tag}: a contact of {rating.figure} {unit} in a circuit of {actual.figure} {unit}"
    return require_at_least(message, computed=rating, limit=actual)


def _kind(control: ControlCircuit) -> Iterator[Judgement]:
    asked = {"kind of current of {}, ac or dc": control.current_kind, "kind of current of the contact of {}": control.contact_kind}
    missing = [name.format(control.tag) for name, word in asked.items() if not word]
    if missing:
        yield not_judged(*missing)
        return
    fits = control.current_kind == control.contact_kind
    yield require(fits, f"{control.tag}: a contact for {control.contact_kind} in a circuit of {control.current_kind}")
