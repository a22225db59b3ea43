"""The site as the plan draws it: lot, buildings, roofs, openings, and what stands around them, in feet."""
