"""What is on board, where it can be pumped to, and what of it is quoted."""
