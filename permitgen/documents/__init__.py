"""How the documents look: shapes in millimetres, fonts, drawings, labels, pages and the writers of each file format."""
