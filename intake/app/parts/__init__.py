"""Small pieces of screen: plain values and callbacks in, a control out; no state, rule or text of their own.

What a part says comes in as text, or by key through the `Words` handed to it.
"""
