"""What is refused or announced when a job is read."""
