"""What is said to a person: each page as a list of parts, which every front end renders in its own way."""
