"""What a revision prints and what this tree prints, and what changed between them.

Both trees are run at once, in one setting: the demos and measured jobs as each tree has them, jobs generated
from solved units, and jobs of two visits. Nothing is stored.
"""
