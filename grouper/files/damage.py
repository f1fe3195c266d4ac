"""What reading a damaged file can raise."""

from __future__ import annotations

import struct
import zipfile
import zlib

ZIP_DAMAGE = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, RuntimeError, ValueError, LookupError, OSError)
"""What reading a member of a damaged or locked zip can raise."""
