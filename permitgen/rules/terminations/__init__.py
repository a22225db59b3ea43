"""Terminals: what fits under them, what they are made for, the space to bend wires before them."""
