"""Records in the formats of other programs."""
