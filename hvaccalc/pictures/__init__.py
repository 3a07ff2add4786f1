"""Every drawing of the memo and of the panels: typed results in, SVG out; decides nothing."""
