"""Words for what was found: one module a wing, both readers' texts side by side."""
