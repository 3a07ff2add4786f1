"""The cooling coil: heat, moisture and the water on it."""
