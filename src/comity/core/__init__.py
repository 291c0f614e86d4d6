"""The pure core: days, facts, rulebooks and what follows from them."""

# Empty: who needs a part imports its module, so that a cold command loads nothing else.
__all__: list[str] = []
