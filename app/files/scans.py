"""What a scanned paper may be, told from its content: a PDF, a JPEG or a PNG, and no larger than five megabytes."""

from __future__ import annotations

from enum import StrEnum

MEGABYTE = 1024 * 1024
LARGEST_SCAN = 5 * MEGABYTE
#: A PDF ends with its mark, give or take what a scanner writes after it.
_PDF_TAIL = 2048
_PNG_HEAD = b"\x89PNG\r\n\x1a\n"


class ScanKind(StrEnum):
    """The kinds of scan that are kept, by media type."""

    PDF = "application/pdf"
    JPEG = "image/jpeg"
    PNG = "image/png"


ENDINGS = {ScanKind.PDF: "pdf", ScanKind.JPEG: "jpg", ScanKind.PNG: "png"}


class NoScan(ValueError):
    """The file is not kept; the sentence says why."""


def kind_of(content: bytes) -> ScanKind:
    """Which kind a scan is; its name and what the sender calls it play no part.

    Raises: NoScan for an empty, too large, cut off or other file.
    """
    if not content:
        raise NoScan("The file is empty.")
    if len(content) > LARGEST_SCAN:
        size = len(content) / MEGABYTE
        raise NoScan(f"The file has {size:.1f} MB; 5 MB is the most. Scan it in grey or at a lower resolution.")
    kind = _by_head(content)
    if kind is None:
        raise NoScan("Only a PDF, a JPEG or a PNG is kept, and this is none of them, whatever its name says.")
    if not _is_whole(content, kind):
        raise NoScan("The file is cut off before its end. Scan or send it again.")
    return kind


def _by_head(content: bytes) -> ScanKind | None:
    if content.startswith(b"%PDF-"):
        return ScanKind.PDF
    if content.startswith(b"\xff\xd8\xff"):
        return ScanKind.JPEG
    return ScanKind.PNG if content.startswith(_PNG_HEAD) else None


def _is_whole(content: bytes, kind: ScanKind) -> bool:
    if kind is ScanKind.PDF:
        return b"%%EOF" in content[-_PDF_TAIL:]
    if kind is ScanKind.JPEG:
        return b"\xff\xd9" in content[3:]
    return content[12:16] == b"IHDR" and b"IEND" in content[16:]
