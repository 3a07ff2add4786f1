"""The root-cause memo: findings and typed results as blocks, and the blocks as a page."""
