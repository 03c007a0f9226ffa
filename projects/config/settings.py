"""Django's settings; everything that differs between offices comes from the environment (see environment.py)."""

from __future__ import annotations

import zoneinfo
from pathlib import Path

from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from projects.config import environment

try:
    _env = environment.read()
except environment.EnvironmentProblem as problem:
    raise ImproperlyConfigured(str(problem)) from None

BASE_DIR = Path(__file__).resolve().parent.parent.parent
DATA_DIR: Path = _env["RAFTERBOOK_DATA"] or BASE_DIR / ".data"
DATA_DIR.mkdir(parents=True, exist_ok=True)

DEBUG: bool = _env["RAFTERBOOK_DEBUG"]
# With DEBUG off a key is required (environment.read); this one only ever signs a trial on one machine.
SECRET_KEY: str = _env["RAFTERBOOK_SECRET_KEY"] or "a trial on one machine, never an office"
ALLOWED_HOSTS: list[str] = _env["RAFTERBOOK_HOSTS"]
CSRF_TRUSTED_ORIGINS: list[str] = _env["RAFTERBOOK_TRUSTED_ORIGINS"]

DATABASES = {"default": _env["DATABASE_URL"] or environment.sqlite(DATA_DIR / "rafterbook.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django_tables2",
    "django_filters",
    "django_htmx",
    "axes",
    "csp",
    "projects",
    "paperwork",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "projects.screens.entries_only.EntriesOnly",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "projects.config.urls"
WSGI_APPLICATION = "projects.config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "projects.screens.notices.notices",
            ],
            "builtins": ["projects.screens.templatetags.house", "projects.screens.templatetags.measures"],
        },
    }
]

AUTH_USER_MODEL = "projects.Person"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "sign-in"
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_VERBOSE = False

LANGUAGE_CODE = "en-us"
TIME_ZONE: str = _env["RAFTERBOOK_OFFICE_TIME_ZONE"]
if TIME_ZONE not in zoneinfo.available_timezones():
    raise ImproperlyConfigured(f"RAFTERBOOK_OFFICE_TIME_ZONE: {TIME_ZONE} is not a time zone")
USE_I18N = True
USE_TZ = True
USE_THOUSAND_SEPARATOR = True

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS: list[Path] = []
MEDIA_ROOT = DATA_DIR / "files"
WHITENOISE_USE_FINDERS = DEBUG
WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
FILE_UPLOAD_PERMISSIONS = 0o640
DATA_UPLOAD_MAX_MEMORY_SIZE = 20 * 1024 * 1024

# No inline script or style: what a customer or a reviewer typed can never run.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "object-src": [NONE],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30
if _env["RAFTERBOOK_HTTPS"]:
    SECURE_SSL_REDIRECT = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 180
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

CACHES = {
    "default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"},
    # What all processes of the server must count together: requests from one address.
    "shared": {"BACKEND": "django.core.cache.backends.filebased.FileBasedCache", "LOCATION": DATA_DIR / "counts"},
}
DJANGO_TABLES2_TEMPLATE = "office/table.html"
CUSTOMER_LINK_DAYS: int = _env["RAFTERBOOK_CUSTOMER_LINK_DAYS"]
REQUESTS_PER_HOUR: int = _env["RAFTERBOOK_REQUESTS_PER_HOUR"]
OFFICE_ADDRESS: str = _env["RAFTERBOOK_ADDRESS"]
"""Where the office reaches this book, as "https://book.example.com"; empty where nobody has said."""
PAPER_SIZE: str = _env["RAFTERBOOK_PAPER"]

EMAIL_HOST: str = _env["RAFTERBOOK_SMTP_HOST"]
EMAIL_PORT: int = _env["RAFTERBOOK_SMTP_PORT"]
EMAIL_HOST_USER: str = _env["RAFTERBOOK_SMTP_USER"]
EMAIL_HOST_PASSWORD: str = _env["RAFTERBOOK_SMTP_PASSWORD"]
EMAIL_USE_TLS = _env["RAFTERBOOK_SMTP_SECURITY"] == "starttls"
EMAIL_USE_SSL = _env["RAFTERBOOK_SMTP_SECURITY"] == "tls"
EMAIL_TIMEOUT = 20
EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend" if EMAIL_HOST else "projects.mail.backend.FileAndConsole"
DEFAULT_FROM_EMAIL: str = _env["RAFTERBOOK_MAIL_FROM"] or "office@localhost"
MAIL_FOLDER = DATA_DIR / "mail"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "loggers": {
        "fontTools": {"level": "ERROR"},
        "weasyprint": {"level": "ERROR"},
        "axes": {"level": "ERROR"},
        "projects.mail": {"level": "INFO"},
    },
    "root": {"handlers": ["console"], "level": "WARNING"},
}
