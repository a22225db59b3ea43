"""Feeder taps, also on feeders with a source."""

from __future__ import annotations

from permitgen.values.equation import equation


@equation("I_tap", "smallest ampacity of the tap", share_factor="k", feeder_a="P")
def short_tap_ampacity_a(share_factor: float, feeder_a: float) -> float:
    """Return a tenth of the feeder's device (and source), A, where the tap leaves the enclosure (240.21(B)(1))."""
    return share_factor * feeder_a


@equation("I_tap", "smallest ampacity of the tap", feeder_a="P", share_of_count="n")
def long_tap_ampacity_a(feeder_a: float, share_of_count: float) -> float:
    """Return a third of the feeder's device (and source), A (240.21(B)(2), (4); 705.12, taps)."""
    return feeder_a / share_of_count


@equation("P + S", "feeder device and source together", feeder_device_a="P", source_a="S")
def feeder_and_source_a(feeder_device_a: float, source_a: float) -> float:
    """Return the sum on which taps of a feeder with a source are sized, A (705.12, taps)."""
    return feeder_device_a + source_a
