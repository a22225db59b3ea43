"""Space around equipment, enclosures for their place, siting of storage, access to the roof."""
