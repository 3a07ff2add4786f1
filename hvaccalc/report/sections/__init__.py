"""The sections of the memo, one module each, in the order of `memo.blocks`."""
