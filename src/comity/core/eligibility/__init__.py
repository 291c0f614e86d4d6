"""What an authority's rules say of an applicant on a day."""

# Empty: who needs a part imports its module, so that a cold command loads nothing else.
__all__: list[str] = []
