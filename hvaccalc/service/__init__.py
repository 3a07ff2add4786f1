"""What follows from a diagnosis: energy, rules."""
