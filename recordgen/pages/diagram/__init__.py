"""One-line diagrams: from the elements of a building to drawn sheets."""
