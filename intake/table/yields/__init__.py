"""How much clean shred is really there."""
