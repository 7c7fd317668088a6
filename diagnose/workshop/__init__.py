"""What all front ends talk to: one person at one journal, the walk that is being made, and who practises."""
