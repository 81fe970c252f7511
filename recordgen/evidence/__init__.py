"""Field evidence: what a trace bears, how well a claim is known, the life of a fault."""
