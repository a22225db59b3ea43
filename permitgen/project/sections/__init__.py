"""One model file per section of the project file."""
