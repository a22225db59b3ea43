"""The installation as a graph: equipment and terminals, circuits, busbars, operating modes. Knows neither file nor paper."""
