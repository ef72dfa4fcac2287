"""From a bag of mixed used plastic to labelled bins of shred that will melt together.

The house, in the order to walk it::

    doors   app (Flet) · cli                  say and ask; no rule, no sum
    desk    one act per thing a person does   the only place that reads state, asks the clock, records
    book    ledger · handbook · drawing · hub disk, TOML, pixels and a database; `words` beneath (the sentences)
    table   identify → compat → prep → yields → bins → labels | charge    pure functions over frozen values
    ground  spread · units · errors
"""

__version__ = "0.1.0"
