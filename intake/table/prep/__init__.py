"""Getting it clean: what comes off, what stays on, and the minutes it costs."""
