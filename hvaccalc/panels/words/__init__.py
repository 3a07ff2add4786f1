"""What each panel says of its result."""
