"""What the fan's speed costs, what a code asks of it, and which calls run it slow."""
