"""Every setting of the project, read from the environment and secure by default."""

from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONE, SELF

from society.environment import Environment

ROOT = Path(__file__).resolve().parent.parent
env = Environment()

DATA_DIR = env.folder("DATA_DIR", ROOT / "var")
DEBUG = env.flag("DEBUG", False)
SECRET_KEY = env.secret("SECRET_KEY", DATA_DIR / "secret_key")
_site = env.origin("SITE_URL", "http://127.0.0.1:8000")
SITE_URL = _site.geturl()
TLS = _site.scheme == "https"
ALLOWED_HOSTS = env.words(
    "ALLOWED_HOSTS", (_site.hostname or "localhost", "localhost", "127.0.0.1", "[::1]")
)
CSRF_TRUSTED_ORIGINS = [SITE_URL] if TLS else []

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "csp",
    "django_htmx",
    "leaflet",
    "society.core",
    "society.members",
    "society.names",
    "society.safety",
    "society.places",
    "society.forays",
    "society.finds",
    "society.review",
    "society.lists",
    "society.exchange",
    "society.demo",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "society.core.access.SigninRequired",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "society.urls"
WSGI_APPLICATION = "society.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "society.members.queries.society_context",
                "society.review.queries.viewer_context",
            ],
        },
    }
]
FORM_RENDERER = "society.core.rendering.DirectRenderer"

DATABASES = {"default": env.database("DATABASE_URL", DATA_DIR / "logbook.sqlite3")}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

REDIS_URL = env.text("REDIS_URL")
CACHES = {
    "default": (
        {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": REDIS_URL}
        if REDIS_URL
        else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
    )
}

# People and passwords
AUTH_USER_MODEL = "members.Account"
LOGIN_URL = "members:signin"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
_validation = "django.contrib.auth.password_validation."
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": _validation + "UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("email", "name")},
    },
    {"NAME": _validation + "MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": _validation + "CommonPasswordValidator"},
    {"NAME": _validation + "NumericPasswordValidator"},
    {"NAME": "society.members.models.NotGuessable"},
]
PASSWORD_RESET_TIMEOUT = 60 * 60 * 24
SESSION_COOKIE_AGE = 60 * 60 * 24 * 60
SIGNIN_TRIES = env.whole("SIGNIN_TRIES", 10, least=1)
SIGNIN_WINDOW_MINUTES = env.whole("SIGNIN_WINDOW_MINUTES", 15, least=1)
INVITATION_DAYS = env.whole("INVITATION_DAYS", 14, least=1)

# Transport. Behind a TLS proxy the site trusts its forwarded scheme only when SITE_URL is https.
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = TLS
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_SSL_REDIRECT = TLS
SECURE_REDIRECT_EXEMPT = [r"^alive/$"]
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if TLS else None
SECURE_HSTS_SECONDS = env.whole("HSTS_SECONDS", 60 * 60 * 24 * 365) if TLS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = TLS
SECURE_HSTS_PRELOAD = False
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"

MAP_TILES = env.tiles("MAP_TILES")
MAP_TILES_CREDIT = env.text("MAP_TILES_CREDIT")
_tiles = [f"{urlsplit(MAP_TILES).scheme}://{urlsplit(MAP_TILES).netloc}"] if MAP_TILES else []
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "blob:", "data:", *_tiles],
        "connect-src": [SELF],
        "worker-src": [SELF],
        "manifest-src": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}

# Language, time, numbers
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English")]
LOCALE_PATHS = [ROOT / "society" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = env.zone("TIME_ZONE", "Europe/London")

# Files
STATIC_URL = "static/"
STATICFILES_DIRS = [ROOT / "static"]
STATIC_ROOT = DATA_DIR / "static"
MEDIA_ROOT = DATA_DIR / "files"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
FILE_UPLOAD_PERMISSIONS = 0o640
PHOTOGRAPH_MAX_MB = env.whole("PHOTOGRAPH_MAX_MB", 40, least=1)
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000

# Mail: to the console until a server is named
EMAIL_HOST = env.text("EMAIL_HOST")
EMAIL_BACKEND = "django.core.mail.backends." + (
    "smtp.EmailBackend" if EMAIL_HOST else "console.EmailBackend"
)
EMAIL_PORT = env.whole("EMAIL_PORT", 587, least=1, most=65535)
EMAIL_HOST_USER = env.text("EMAIL_HOST_USER")
EMAIL_HOST_PASSWORD = env.text("EMAIL_HOST_PASSWORD")
# Port 465 speaks TLS from the first byte, the others after STARTTLS.
EMAIL_USE_SSL = EMAIL_PORT == 465
EMAIL_USE_TLS = env.flag("EMAIL_USE_TLS", True) and not EMAIL_USE_SSL
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = SERVER_EMAIL = env.text("MAIL_FROM", "logbook@localhost")

SILENCED_SYSTEM_CHECKS = [
    # HSTS preload is a promise for the whole domain, the society's to make.
    "security.W021",
    *([] if TLS else ["security.W004", "security.W008", "security.W012", "security.W016"]),
]

_log_level = env.choice("LOG_LEVEL", "WARNING", ("DEBUG", "INFO", "WARNING", "ERROR", "CRITICAL"))
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": _log_level},
}

env.check()
