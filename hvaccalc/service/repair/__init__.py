"""The lasting work: which repair each cause calls for, what is quoted, how it is proved."""
