"""What is known of an applicant."""

# Empty: who needs a part imports its module, so that a cold command loads nothing else.
__all__: list[str] = []
