"""Surge-protective devices: what counts as one, shared by the rules for services, feeders and second buildings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, require, require_at_least

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


def judge_device(item: Equipment, given: Given, provision: Provision, otherwise: Verdict = Verdict.VIOLATED) -> Judgement:
    """Judge the surge-protective device in or beside one enclosure: its type, and its discharge current where the edition asks for one.

    Raises:
        MissingFactError: the project does not say whether there is one.
    """
    kind = given.need(item.word("surge_protection") or None, f"surge protection of {item.tag}")
    types = provision.words("types")
    there = kind in types
    part = require(there, f"{item.tag}: {'surge protection ' + kind if there else 'no surge-protective device'}", otherwise=otherwise)
    if not there or not provision.has("smallest_discharge_ka"):
        return part
    discharge = given.need(item.fact("surge_discharge"), f"nominal discharge current of the surge protection of {item.tag}")
    limit = provision.value("smallest_discharge_ka")
    message = f"{item.tag}: surge protection {kind} of {discharge.figure} kA nominal discharge current"
    return all_of(message, [part, require_at_least(message, computed=discharge, limit=limit, otherwise=otherwise)])
