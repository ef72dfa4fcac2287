"""Will it melt with the rest, and what would it spoil."""
