"""The physical side: what the needles stand at, and what the day, the fuel and the engine's own normal explain."""
