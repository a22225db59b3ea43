"""Reads files that people wrote, whatever room asks: bounded, with a place for every value, and one message for every fault."""
