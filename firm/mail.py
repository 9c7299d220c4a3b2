"""The way out for mail: the firm's own mail server, read from its settings row."""

from django.core.mail.backends.smtp import EmailBackend


class FirmMailBackend(EmailBackend):
    """Sends through the server that the firm's settings row names."""
