"""The physical side: needles, air, fuel, heat and throttle. Pure functions, SI units inside, no clock, no files."""
