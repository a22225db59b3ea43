"""Control wiring: classes, separation, sizes, the loops that shut down."""
