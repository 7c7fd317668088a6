"""A simulated engine, built from physics and not from the knowledge's probabilities, and what is measured on it."""
