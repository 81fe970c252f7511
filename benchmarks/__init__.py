"""How long reading, connecting and publishing take, and how that grows with the records."""
