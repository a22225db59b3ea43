"""Traced quantities that several rules need: currents, ampacities, fills, fault currents."""
