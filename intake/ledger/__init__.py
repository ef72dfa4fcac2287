"""What happened, for ever: an append-only journal of events and the state that follows from them."""
