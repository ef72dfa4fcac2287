"""What goes together, and which bin an item goes to."""
