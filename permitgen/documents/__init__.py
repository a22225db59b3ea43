"""How the documents look: shapes in millimeters, fonts, drawings, labels, pages and the writers of each file format."""
