"""What the code requires of the installation: one folder per subject, one file per rule."""
