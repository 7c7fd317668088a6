"""What happened: the journal on disk."""
