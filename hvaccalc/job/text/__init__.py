"""The job file as text: its syntax, the line of each key, older formats, and values written back."""
