"""The conducting network: what feeds what, what goes dark, where the locks go."""
