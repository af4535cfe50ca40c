"""Points, arcs, profiles, booleans and exact boxes: knows no wood."""
