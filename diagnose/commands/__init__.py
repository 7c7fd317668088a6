"""The commands, one file for each few; `diagnose.cli` gathers them. What is heavy is imported when it is used."""
