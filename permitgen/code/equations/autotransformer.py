"""Neutral-forming autotransformers."""

from __future__ import annotations

from permitgen.values.equation import equation, magnitude


@equation("I_N", "neutral current", leg_a_current_a="I_A", leg_b_current_a="I_B")
def unbalance_current_a(leg_a_current_a: float, leg_b_current_a: float) -> float:
    """Return |I_A − I_B| of the 120 V loads on both legs, A (physics)."""
    current: float = magnitude(leg_a_current_a - leg_b_current_a)
    return current


@equation("I_w", "winding current", neutral_current_a="I_N")
def winding_current_a(neutral_current_a: float) -> float:
    """Return half of the neutral current, A: both half windings share it (physics)."""
    return neutral_current_a / 2


@equation("I_N,r", "rated neutral current", through_put_kva="S", line_to_neutral_v="E_LN")
def rated_neutral_current_a(through_put_kva: float, line_to_neutral_v: float) -> float:
    """Return S × 1000 ÷ 120 V of an autotransformer rated by its through-put, A (physics)."""
    return through_put_kva * 1000 / line_to_neutral_v


@equation("I_N,r", "rated neutral current", winding_kva="S_w", line_to_neutral_v="E_LN")
def rated_neutral_of_winding_a(winding_kva: float, line_to_neutral_v: float) -> float:
    """Return 2 × S × 1000 ÷ 120 V of an autotransformer rated by its windings, A: each carries half the neutral current (physics)."""
    return 2 * winding_kva * 1000 / line_to_neutral_v
