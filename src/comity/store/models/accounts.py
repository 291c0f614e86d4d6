"""People who sign in, the links that invite them, and the tokens of their programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models

if TYPE_CHECKING:
    from datetime import datetime


class Role(models.TextChoices):
    """What a person is in this office."""

    OWNER = "owner", "Owner"
    ADVISER = "adviser", "Adviser"
    APPLICANT = "applicant", "Applicant"


class AccountManager(BaseUserManager["Account"]):
    """Makes accounts; nobody gets one without a password of their own."""

    def create_account(self, email: str, password: str, *, name: str, role: str) -> Account:
        """Return a new account; its address is kept in lower case."""
        account = self.model(email=email.strip().lower(), name=name, role=role)
        account.set_password(password)
        account.save(using=self._db)
        return account

    def get_by_natural_key(self, username: str | None) -> Account:
        """Return the account of an address, however it is written."""
        return self.get(email=(username or "").strip().lower())


class Account(AbstractBaseUser):
    """A person who can sign in: owner, adviser or applicant."""

    email = models.EmailField(unique=True)
    name = models.CharField(max_length=200)
    role = models.CharField(max_length=9, choices=Role)
    language = models.CharField(max_length=35, blank=True)
    is_active = models.BooleanField(default=True)
    created_at: models.DateTimeField[datetime, datetime] = models.DateTimeField(auto_now_add=True)

    objects: ClassVar[AccountManager] = AccountManager()
    EMAIL_FIELD = "email"
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def is_owner(self) -> bool:
        """Whether this person runs the office."""
        return self.role == Role.OWNER

    @property
    def is_member(self) -> bool:
        """Whether this person works in the office: owner or adviser."""
        return self.role in {Role.OWNER, Role.ADVISER}


class Invitation(models.Model):
    """A link that lets one person in, once, until a day.

    The link carries a signed random token; only its digest is kept.
    """

    digest = models.CharField(max_length=64, unique=True)
    email = models.EmailField()
    name = models.CharField(max_length=200, blank=True)
    role = models.CharField(max_length=9, choices=Role)
    case = models.ForeignKey(
        "store.Case", null=True, blank=True, on_delete=models.CASCADE, related_name="invitations"
    )
    invited_by = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="invitations")
    created_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"invitation {self.pk}"


class ApiToken(models.Model):
    """A program's key to the API; only its digest is kept."""

    digest = models.CharField(max_length=64, unique=True)
    label = models.CharField(max_length=100)
    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="tokens")
    scopes = models.JSONField(default=list)
    created_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    last_used_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.label
