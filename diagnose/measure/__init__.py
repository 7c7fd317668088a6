"""What the knowledge and the advice are worth, in figures."""
