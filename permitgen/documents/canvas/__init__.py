"""A page as a list of shapes in true millimeters, and the writers that put it on paper or screen.

Origin top left, x to the right, y down. Sheets, labels and text documents place shapes; ``to_pdf``, ``to_svg`` and
``to_png`` only write them. Nothing here knows what a breaker is.
"""
