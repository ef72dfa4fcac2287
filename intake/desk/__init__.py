"""One act per thing a person does: the only floor that reads state, asks the clock, decides and records."""
