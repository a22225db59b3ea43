"""Available fault current against the ratings of devices and equipment."""
