"""The desk for a server that speaks WSGI."""

from __future__ import annotations

import gc
import os
from typing import Final

from django.core.wsgi import get_wsgi_application

_OBJECTS_BETWEEN_COLLECTIONS: Final = 50_000

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "comity.desk.settings")
application = get_wsgi_application()

# What has been loaded stays; looking through it for dead rings while a page waits is for nothing.
gc.freeze()
gc.set_threshold(_OBJECTS_BETWEEN_COLLECTIONS)
