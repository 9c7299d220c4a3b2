"""Settings, read from the environment; SQLite and no broker unless told otherwise."""

import logging
import os
import re
from pathlib import Path
from urllib.parse import unquote, urlsplit

import django_stubs_ext
import font_source_sans_pro
import font_source_serif_pro
from csp.constants import NONCE, NONE, SELF
from django.core.exceptions import ImproperlyConfigured

# Forms, views and querysets may name their model in annotations at run time.
django_stubs_ext.monkeypatch()

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(os.environ.get("VAR_DIR", BASE_DIR / "var")).absolute()


def env_flag(name: str, default: bool = False) -> bool:
    """The flag NAME of the environment: 1, true, yes and on are true."""
    return os.environ.get(name, str(default)).strip().lower() in {
        "1",
        "true",
        "yes",
        "on",
    }


def env_secret(name: str, default: str = "") -> str:
    """The value of NAME, or the content of the file that NAME_FILE names."""
    if path := os.environ.get(f"{name}_FILE"):
        return Path(path).read_text(encoding="utf-8").strip()
    return os.environ.get(name, default)


def env_list(name: str, default: str = "") -> list[str]:
    """The comma-separated values of NAME."""
    return [
        part.strip()
        for part in os.environ.get(name, default).split(",")
        if part.strip()
    ]


def database(url: str) -> dict[str, object]:
    """Django's settings for the database at URL (sqlite:///path or postgresql://...)."""
    parts = urlsplit(url)
    if parts.scheme == "sqlite":
        name = unquote(parts.path[1:] if parts.path.startswith("//") else parts.path)
        # SQLite makes the file, but not the folder it lies in.
        Path(name).parent.mkdir(parents=True, exist_ok=True)
        return {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": name,
            # IMMEDIATE takes the write lock at the start, so a transaction that reads
            # first can never fail half-way with "database is locked".
            "OPTIONS": {
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
                "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;",
            },
        }
    if parts.scheme in {"postgres", "postgresql"}:
        return {
            "ENGINE": "django.db.backends.postgresql",
            "NAME": unquote(parts.path.lstrip("/")),
            "USER": unquote(parts.username or ""),
            "PASSWORD": unquote(parts.password or ""),
            "HOST": parts.hostname or "",
            "PORT": str(parts.port or ""),
            "CONN_MAX_AGE": 60,
            "CONN_HEALTH_CHECKS": True,
        }
    raise ImproperlyConfigured(
        f"DATABASE_URL: unknown kind of database {parts.scheme!r}"
    )


DEBUG = env_flag("DEBUG")
SECRET_KEY = env_secret("SECRET_KEY")
if not SECRET_KEY:
    # A key kept beside the data: created once, never in the code.
    key_file = VAR_DIR / "secret_key"
    if not key_file.exists():
        key_file.parent.mkdir(parents=True, exist_ok=True)
        with os.fdopen(
            os.open(key_file, os.O_WRONLY | os.O_CREAT, 0o600), "w", encoding="utf-8"
        ) as new_key:
            new_key.write(os.urandom(48).hex())
    SECRET_KEY = key_file.read_text(encoding="utf-8").strip()
ALLOWED_HOSTS = env_list("ALLOWED_HOSTS", "127.0.0.1,localhost,[::1]")
CSRF_TRUSTED_ORIGINS = env_list("CSRF_TRUSTED_ORIGINS")
# Links in mails need an address; the firm's own row overrides nothing here.
SITE_URL = os.environ.get("SITE_URL", "http://127.0.0.1:8000").rstrip("/")
# Served over TLS unless the installation listens on loopback only.
SECURE = env_flag("SECURE", default=SITE_URL.startswith("https://"))

DATABASES = {
    "default": database(
        os.environ.get("DATABASE_URL", f"sqlite:///{VAR_DIR / 'firm.sqlite3'}")
    )
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
REDIS_URL = os.environ.get("REDIS_URL", "")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "firm.apps.StaticFilesConfig",
    "crispy_forms",
    "django_htmx",
    "axes",
    "csp",
    "firm.apps.FirmConfig",
    "plants.apps.PlantsConfig",
    "jobs.apps.JobsConfig",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "firm.views.addresses.NoNul",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "firm.views.once.TakenOnce",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "firm.urls"
WSGI_APPLICATION = "firm.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "firm.context.firm_and_menu",
            ],
            "loaders": [
                (
                    "django.template.loaders.cached.Loader",
                    [
                        "django.template.loaders.filesystem.Loader",
                        "django.template.loaders.app_directories.Loader",
                    ],
                )
            ],
            # The test run sets this so that an undefined variable fails it.
            "string_if_invalid": "",
        },
    }
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"
INSTALLED_APPS.insert(0, "django.forms")
CRISPY_ALLOWED_TEMPLATE_PACKS = ("notebook",)
CRISPY_TEMPLATE_PACK = "notebook"
CRISPY_FAIL_SILENTLY = False

AUTH_USER_MODEL = "firm.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("name", "email")},
    },
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"
PASSWORD_RESET_TIMEOUT = 60 * 60 * 24
# Counted in the database (works on both), by account AND address together, so that a
# stranger cannot lock the owner out.
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_USERNAME_FORM_FIELD = "username"
AXES_LOCKOUT_TEMPLATE = "firm/locked_out.html"
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False

LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("es", "Español")]
LOCALE_PATHS = [BASE_DIR / "firm" / "locale"]
USE_I18N = True
USE_TZ = True
# Instants are stored in UTC; the firm's own zone is a column of its settings row.
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = VAR_DIR / "static"
STATICFILES_DIRS = [
    BASE_DIR / "firm" / "static",
    ("fonts/serif", Path(font_source_serif_pro.__file__).parent / "files"),
    ("fonts/sans", Path(font_source_sans_pro.__file__).parent / "files"),
]
STORAGES = {
    "default": {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": VAR_DIR / "files"},
    },
    "staticfiles": {
        "BACKEND": (
            "whitenoise.storage.CompressedManifestStaticFilesStorage"
            if env_flag("HASHED_STATIC", default=not DEBUG)
            else "django.contrib.staticfiles.storage.StaticFilesStorage"
        )
    },
}
MEDIA_ROOT = VAR_DIR / "files"
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000
FILE_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
FILE_UPLOAD_PERMISSIONS = 0o640
UPLOAD_LIMIT_BYTES = 15 * 1024 * 1024

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF, NONCE],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "object-src": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_SSL_REDIRECT = SECURE
SECURE_HSTS_SECONDS = 31536000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = SECURE
if env_flag("BEHIND_PROXY"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
SESSION_COOKIE_SECURE = SECURE
CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_NAME = "__Host-session" if SECURE else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if SECURE else "csrf"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14
CSRF_FAILURE_VIEW = "firm.views.refused.csrf_refused"

# The mail server is a setting of the firm (its own row); this backend reads it there.
EMAIL_BACKEND = "firm.mail.FirmMailBackend"
# A mail server, or a folder to write letters into, named here wins over the firm's row.
MAIL_HOST = os.environ.get("MAIL_HOST", "")
MAIL_PORT = int(os.environ.get("MAIL_PORT", "25"))
MAIL_USER = os.environ.get("MAIL_USER", "")
MAIL_PASSWORD = env_secret("MAIL_PASSWORD")
MAIL_SECURITY = os.environ.get("MAIL_SECURITY", "none")
MAIL_DIR = os.environ.get("MAIL_DIR", "")
DEFAULT_FROM_EMAIL = os.environ.get("DEFAULT_FROM_EMAIL", "office@localhost")
EMAIL_TIMEOUT = 20

CELERY_BROKER_URL = REDIS_URL or "memory://"
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TIMEZONE = "UTC"
CELERY_ENABLE_UTC = True
CELERY_WORKER_MAX_TASKS_PER_CHILD = 50
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_TRANSPORT_OPTIONS = {"socket_timeout": 2, "socket_connect_timeout": 1}

# What opens something to whoever has it, after the start of its address.
SECRET_PARTS = re.compile(
    r"/(quote|contract|care-guide|invitation|password/new/[^/\s]+)/[^/\s]+"
)


def without_keys(record: logging.LogRecord) -> bool:
    """Take the keys of private links out of the words of a line; every line is kept."""
    record.msg, record.args = SECRET_PARTS.sub(r"/\1/...", record.getMessage()), ()
    return True


LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}
    },
    "filters": {
        "keys": {"()": "django.utils.log.CallbackFilter", "callback": without_keys}
    },
    "handlers": {
        "stderr": {
            "class": "logging.StreamHandler",
            "formatter": "line",
            "filters": ["keys"],
        }
    },
    "root": {"handlers": ["stderr"], "level": os.environ.get("LOG_LEVEL", "INFO")},
    "loggers": {
        "weasyprint": {"level": "ERROR"},
        "fontTools": {"level": "ERROR"},
        "axes": {"level": "WARNING"},
    },
}
