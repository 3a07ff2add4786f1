"""The job file: its tables, reading it, saving it. Knows no physics but that of a chart that cannot be."""
