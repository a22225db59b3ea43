"""An independent judge: homes made from a seed, their figures worked from the standard's text, and compared with the program's."""
