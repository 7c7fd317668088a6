"""What follows: belief, order, the walk, the gate. Pure functions over knowledge and events."""
