"""Conductors tapped from a feeder without a device at the tap follow one of the rules for taps.

10 ft, 25 ft or outdoors: each asks for a share of the feeder's device, and for a device at the end. Where a power source feeds
the same feeder its share counts too: the editions of 2017 and 2020 add 125 percent of its output current to the feeder's device,
the edition of 2023 adds the ratings of the sources' devices, and only for the longer taps.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.code.equations.taps import long_tap_ampacity_a, short_tap_ampacity_a
from permitgen.rules.judgement import Judgement, all_of, any_of, does_not_apply, not_judged, require, require_at_least, require_at_most
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.conductor_ampacity import conductor_ampacity
from permitgen.rules.quantities.tapped_feeder import TappedFeeder, feeder_basis_a, is_feeder_tap, tapped_feeder
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


@rule(
    "feeder-tap",
    title="Conductors tapped from a feeder without a device at the tap follow one of the rules for taps",
    provision="overcurrent_at_supply",
    judges="circuit",
)
def judge(circuit: Circuit, given: Given) -> Judgement:
    """Judge a tap by each of the rules for taps; one suffices.

    Requires: 10 ft tap: ampacity ≥ device at its end and ≥ a tenth of the feeder's, in raceway; 25 ft tap: ≥ a third, ending in one
        device, protected from damage; outdoors: ending in one device, whose disconnect is outside. No tap is taken from a tap.
    Why: a tap is protected only by its shortness, by the share it carries and by the device at its end.
    Applies to: circuits that name the feeder they are tapped from; not what is tapped from service conductors.
    Example that fails: 20 ft of 6 AWG copper, 65 A, tapped from a 200 A feeder: a third is 66.7 A.
    Example that passes: 20 ft of 4 AWG copper, 85 A, tapped from a 200 A feeder, ending in an 80 A breaker.
    """
    if not circuit.tap_of:
        return does_not_apply(f"{circuit.tag} is no tap")
    if not is_feeder_tap(given, circuit):
        return does_not_apply(f"{circuit.tag}: {circuit.tap_of} are service conductors, no feeder; the device at its end protects it")
    tap = tapped_feeder(given, circuit)
    if tap.between:
        message = f"{circuit.tag} is tapped from {' and '.join(tap.between)}, itself a tap, and not from the feeder"
        return require(fact=False, message=message).under(given.provision("tap_not_from_tap"))
    methods = parts_of(lambda: _short(circuit, given, tap), lambda: _long(circuit, given, tap), lambda: _outdoors(circuit, given, tap))
    return any_of(f"{circuit.tag}: tap from {circuit.tap_of}", methods)


def _short(circuit: Circuit, given: Given, tap: TappedFeeder) -> Judgement:
    provision = given.provision("feeder_tap_10_ft")
    within = _within(provision, tap)
    if not within.holds:
        return within
    parts = parts_of(
        lambda: _to_its_end(circuit, given, tap, provision),
        lambda: _tenth(circuit, given, tap, provision),
        lambda: _in_raceway(circuit, given).under(provision),
    )
    return all_of("a tap of at most 10 ft", [*parts, within])


def _tenth(circuit: Circuit, given: Given, tap: TappedFeeder, provision: Provision) -> Judgement:
    ampacity = conductor_ampacity(given, circuit).final_a
    basis = feeder_basis_a(given, circuit, tap, is_short=True)
    share = short_tap_ampacity_a.derive(share_factor=provision.value("share_factor"), feeder_a=basis, provision=provision)
    return require_at_least(
        f"the tap carries {ampacity.number:.4g} A; a tenth of {basis.figure} A is {share.number:.4g} A",
        computed=ampacity,
        limit=share,
        method="tap of 10 ft",
    ).under(provision)


def _to_its_end(circuit: Circuit, given: Given, tap: TappedFeeder, provision: Provision) -> Judgement:
    ampacity = conductor_ampacity(given, circuit).final_a
    end = _rating_at_end(circuit, given, tap)
    return require_at_least(
        f"the tap carries {ampacity.number:.4g} A; it ends in {end.figure} A", computed=ampacity, limit=end, method="tap of 10 ft"
    ).under(provision)


def _long(circuit: Circuit, given: Given, tap: TappedFeeder) -> Judgement:
    provision = given.provision("feeder_tap_25_ft")
    within = _within(provision, tap)
    if not within.holds:
        return within
    parts = parts_of(
        lambda: _third(circuit, given, tap, provision),
        lambda: _one_device(circuit, given, tap, provision),
        lambda: [found.under(provision) for found in _protected(circuit, given)],
    )
    return all_of("a tap of at most 25 ft", [*parts, within])


def _third(circuit: Circuit, given: Given, tap: TappedFeeder, provision: Provision) -> Judgement:
    ampacity = conductor_ampacity(given, circuit).final_a
    basis = feeder_basis_a(given, circuit, tap, is_short=False)
    share = long_tap_ampacity_a.derive(feeder_a=basis, share_of_count=provision.value("share_of_count"), provision=provision)
    return require_at_least(
        f"the tap carries {ampacity.number:.4g} A; a third of {basis.figure} A is {share.number:.4g} A",
        computed=ampacity,
        limit=share,
        method="tap of 25 ft",
    ).under(given.provision("feeder_tap_with_source") if tap.sources else provision)


def _outdoors(circuit: Circuit, given: Given, tap: TappedFeeder) -> Judgement:
    """Any length outdoors, ending in one device in the open or at the nearest point of entrance."""
    provision = given.provision("outside_tap")
    runs = [given.system.raceways[tag] for tag in circuit.runs]
    if not runs or any(run.inside_building or not run.is_wet for run in runs):
        return does_not_apply(f"{circuit.tag} does not run outdoors all the way").under(provision)
    parts = parts_of(lambda: _one_device(circuit, given, tap, provision), lambda: _disconnect_outside(given, tap, provision))
    return all_of("a tap outdoors", parts)


def _disconnect_outside(given: Given, tap: TappedFeeder, provision: Provision) -> Judgement:
    """The device at the end belongs to a disconnect outside, or inside nearest the entrance: a way outdoors all along ends at one."""
    item = given.system.equipment[tap.far.tag]
    answer = item.place.readily_accessible if item.place is not None else None
    message = f"it ends at {item.tag}, which is {'' if answer else 'not '}readily accessible"
    return require(answer, message, missing=f"whether {item.tag} is readily accessible").under(provision)


def _within(provision: Provision, tap: TappedFeeder) -> Judgement:
    longest = provision.value("longest_ft")
    return require_at_most(
        f"it is {tap.length_ft.length} long, at most {longest.length}",
        computed=tap.length_ft,
        limit=longest,
        method=f"tap of {longest.length}",
    ).under(provision)


def _rating_at_end(circuit: Circuit, given: Given, tap: TappedFeeder) -> Value:
    """Return the rating of the one device, else of the busbar, in which the tap ends."""
    if len(tap.end_devices) == 1:
        return given.need(tap.end_devices[0].rating_a, f"rating of the breaker or fuse at the end of {circuit.tag}").named("OCPD_end")
    ratings = [bus.rating_a for end in circuit.ends if (bus := given.system.busbars.get(end.tag)) is not None and bus.rating_a is not None]
    return given.need(ratings[0] if len(ratings) == 1 else None, f"device or rating in which {circuit.tag} ends")


def _one_device(circuit: Circuit, given: Given, tap: TappedFeeder, provision: Provision) -> Judgement:
    if len(tap.end_devices) != 1:
        return require(len(tap.end_devices) == 1, f"it ends in {len(tap.end_devices)} devices; one is required").under(provision)
    ampacity = conductor_ampacity(given, circuit).final_a
    rating = given.need(tap.end_devices[0].rating_a, f"rating of the breaker or fuse at the end of {circuit.tag}")
    return require_at_most(
        f"it ends in one {rating.figure} A breaker or fuse and carries {ampacity.number:.4g} A", computed=rating, limit=ampacity
    ).under(provision)


def _in_raceway(circuit: Circuit, given: Given) -> Judgement:
    """A short tap is in raceway from the feeder to the enclosure; a cable is none."""
    given.need(circuit.runs or None, f"raceway or cable in which the tap {circuit.tag} lies")
    bare = [run.kind for tag in circuit.runs if not (run := given.system.raceways[tag]).is_filled]
    return require(not bare, f"it is in {bare[0] if bare else 'raceway'}; a short tap is enclosed in raceway")


def _protected(circuit: Circuit, given: Given) -> list[Judgement]:
    """A longer tap is protected from damage: by raceway, or by lying where nothing can strike it."""
    runs = [given.system.raceways[tag] for tag in circuit.runs]
    if not runs:
        return [not_judged(f"raceway or cable in which the tap {circuit.tag} lies")]
    return [_out_of_harm(run) for run in runs]


def _out_of_harm(run: Raceway) -> Judgement:
    if run.is_filled:
        return require(fact=True, message=f"{run.tag}: {run.kind} protects the tap")
    exposed = run.answer("exposed_to_damage")
    if run.is_free_air:
        return require(fact=False, message=f"{run.tag}: the tap lies in the open")
    message = f"{run.tag}: the tap is {run.kind} {'exposed to damage' if exposed else 'out of the way of damage'}"
    return require(None if exposed is None else not exposed, message, missing=f"whether {run.tag} is exposed to physical damage")
