"""The pure floor: no clock, no file, no chance, no pixels.

Rooms stand in the order an item walks: `identify → compat → prep → yields → bins → labels | charge`, over
the two ground tables `resins` and `kinds`. A room takes and returns frozen values with SI floats whose names
carry the unit; it declares the tables it needs, `intake.handbook` fills them, the desk passes them in. A room
gives codes (`Reason`), never sentences.
"""
