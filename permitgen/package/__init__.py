"""Opens a project, draws every document, and moves the whole package into place at once."""
