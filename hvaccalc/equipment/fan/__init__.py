"""Fan, drive and air in the duct."""
