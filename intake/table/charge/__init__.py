"""How far to the target: the mould, the charge and what is still missing."""
