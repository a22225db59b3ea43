"""Drawing to scale: scales, the lay of a plan on the sheet, dimensions, labels with leaders, north arrow and scale bar."""
