"""One screen a file: a view's values to controls, a tap to one act of the desk."""
