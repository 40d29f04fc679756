"""Society Logbook: the Django project and its rooms."""
