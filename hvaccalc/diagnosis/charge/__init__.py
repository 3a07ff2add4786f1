"""The charge of each circuit: rules, gates, verdict, and the circuits side by side."""
