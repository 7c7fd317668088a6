"""What is known: the model of the knowledge, its reader and its proofs."""
