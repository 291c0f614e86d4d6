"""Django's settings for the desk; what differs between offices comes from the environment."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path
from typing import Final

import django.conf.locale
from csp.constants import NONE, SELF
from django.utils.translation import gettext_lazy as _

from comity.store.home import database, secret

HERE: Final = Path(__file__).resolve().parent

# ------------------------------------------------------------------------------- this office

DEMO: Final = os.environ.get("COMITY_DEMO") == "1"
# Plain HTTP on this machine's own loopback needs cookies that travel without TLS.
LOCAL: Final = DEMO or os.environ.get("COMITY_LOCAL") == "1"
# The invented people's files are written for this day.
DEMO_DAY: Final = date.fromisoformat(os.environ.get("COMITY_TODAY") or "2026-11-25")
DEBUG = False
SECRET_KEY = secret("signing").hex()
ALLOWED_HOSTS = os.environ.get("COMITY_HOSTS", "127.0.0.1,localhost,[::1]").split(",")
CSRF_TRUSTED_ORIGINS = [each for each in os.environ.get("COMITY_ORIGINS", "").split(",") if each]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_htmx",
    "comity.store",
    "comity.desk",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "comity.desk.middleware.StorageFaults",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "comity.desk.middleware.SignInRequired",
    "comity.desk.middleware.own_language",
    "comity.desk.middleware.never_stored",
    "django.contrib.messages.middleware.MessageMiddleware",
    "comity.desk.middleware.session_limits",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "comity.desk.urls"
WSGI_APPLICATION = "comity.desk.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [HERE / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "comity.desk.context.shell",
            ]
        },
    }
]

# ---------------------------------------------------------------------------------- storage

DATABASES = {"default": database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
USE_TZ = True
TIME_ZONE = "UTC"

# ----------------------------------------------------------------------------------- people

AUTH_USER_MODEL = "store.Account"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "comity.desk.backends.OfficeBackend",
]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("name", "email")},
    },
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "desk-sign-in"
LOGIN_REDIRECT_URL = "/"
PASSWORD_RESET_TIMEOUT = 24 * 3600
AXES_FAILURE_LIMIT = 6
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_CALLABLE = "comity.desk.errors.throttled"
AXES_RESET_ON_SUCCESS = True
AXES_USERNAME_FORM_FIELD = "username"
AXES_ENABLE_ACCESS_FAILURE_LOG = False
AXES_DISABLE_ACCESS_LOG = True  # who signed in when stands in the audit trail
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address"]
AXES_VERBOSE = False

# ------------------------------------------------------------------------------------- logs

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"sparing": {"()": "comity.desk.logs.SparingFormatter"}},
    "handlers": {"error": {"class": "logging.StreamHandler", "formatter": "sparing"}},
    "root": {"handlers": ["error"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": [], "level": "WARNING", "propagate": True},
        "axes": {"level": "CRITICAL"},  # it names addresses; the desk says what matters itself
        "comity": {"level": "INFO"},
    },
}

# --------------------------------------------------------------------------------- security

SESSION_COOKIE_AGE = 12 * 3600
SESSION_IDLE_SECONDS: Final = 2 * 3600
SESSION_SEEN_EVERY_SECONDS: Final = 60  # a signed-in page does not write at every look
SESSION_SAVE_EVERY_REQUEST = False
# The prefix makes browsers refuse the cookie from other hosts, other paths and without TLS.
_HOST: Final = "" if LOCAL else "__Host-"
SESSION_COOKIE_NAME = f"{_HOST}session"
CSRF_COOKIE_NAME = f"{_HOST}form"
LANGUAGE_COOKIE_NAME = f"{_HOST}language"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = not LOCAL
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SECURE = not LOCAL
SECURE_SSL_REDIRECT = not LOCAL
SECURE_HSTS_SECONDS = 0 if LOCAL else 365 * 24 * 3600
SECURE_HSTS_INCLUDE_SUBDOMAINS = not LOCAL
SECURE_HSTS_PRELOAD = not LOCAL
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CSRF_FAILURE_VIEW = "comity.desk.errors.csrf_refused"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}

# ------------------------------------------------------------------------- files and language

STATIC_URL = "static/"
FONTS: Final = HERE.parent / "brief" / "fonts"
STATICFILES_DIRS = [HERE / "static", ("desk/fonts", FONTS)]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
# Their folders name their version, or they never change: browsers need not ask again.
WHITENOISE_IMMUTABLE_FILE_TEST = r"/desk/(vendor|fonts)/"
USE_I18N = True
LANGUAGE_CODE = "en"
MIRRORED: Final = "qps-plocm"  # English with accents, read from right to left: to test pages
LANGUAGES = [("en", _("English"))]
LANGUAGES_BIDI = ["he", "ar", "ar-dz", "ckb", "fa", "ug", "ur", MIRRORED.partition("-")[0]]
if LOCAL:
    LANGUAGES.append((MIRRORED, _("Mirrored English (for testing)")))
django.conf.locale.LANG_INFO[MIRRORED] = {
    "bidi": True,
    "code": MIRRORED,
    "name": "Mirrored English",
    "name_local": "Mirrored English",
}
LOCALE_PATHS = [HERE / "locale"]
LANGUAGE_COOKIE_HTTPONLY = True
LANGUAGE_COOKIE_SAMESITE = "Lax"
LANGUAGE_COOKIE_SECURE = not LOCAL
