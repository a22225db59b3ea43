"""The parts of the field checklist, one module a section of the work; ``field_checklist`` puts them in order."""
