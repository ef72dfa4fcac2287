"""What stands on a label, and where, in millimetres."""
