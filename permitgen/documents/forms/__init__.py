"""Forms that a department or a utility hands out: their fields, and filling them without touching anything else."""
