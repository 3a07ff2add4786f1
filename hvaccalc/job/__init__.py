"""The job file: its tables, reading it, saving it. Knows no physics."""
