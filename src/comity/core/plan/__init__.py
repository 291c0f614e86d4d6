"""From requirements met to a licence in hand: what comes when, how surely, and at what cost."""

# Empty: who needs a part imports its module, so that a cold command loads nothing else.
__all__: list[str] = []
