"""What a screen shows, as frozen values worked out from a desk; no act, no sentence, no colour of a screen."""
