"""What a scan may be is told from its content."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.files.scans import LARGEST_SCAN, NoScan, ScanKind, kind_of

PDF = b"%PDF-1.7\n1 0 obj\nendobj\n%%EOF\n"
JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\xff\xd9"
PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x00IEND\xaeB`\x82"


@pytest.mark.parametrize(
    ("content", "kind"), [(PDF, ScanKind.PDF), (JPEG, ScanKind.JPEG), (PNG, ScanKind.PNG)], ids=str
)
def test_three_kinds_are_kept(content: bytes, kind: ScanKind) -> None:
    assert kind_of(content) is kind


@pytest.mark.parametrize(
    "content",
    [b"<html><script>", b"MZ\x90\x00", b"PK\x03\x04", b"GIF89a", b" %PDF-1.4\n%%EOF", b"<svg xmlns='x'/>"],
    ids=["html", "program", "archive", "gif", "pdf with something before it", "svg"],
)
def test_anything_else_is_refused(content: bytes) -> None:
    with pytest.raises(NoScan, match="none of them"):
        kind_of(content)


@pytest.mark.parametrize("content", [PDF[:-6], JPEG[:-2], PNG[:-8], PNG[:10]], ids=["pdf", "jpeg", "png", "head"])
def test_a_file_cut_off_is_refused(content: bytes) -> None:
    with pytest.raises(NoScan, match="cut off"):
        kind_of(content)


def test_nothing_and_too_much_are_refused() -> None:
    with pytest.raises(NoScan, match="empty"):
        kind_of(b"")
    with pytest.raises(NoScan, match="5 MB"):
        kind_of(PDF + b"0" * LARGEST_SCAN)


def test_the_largest_is_kept() -> None:
    assert kind_of(PDF[:9] + b"0" * (LARGEST_SCAN - 15) + b"%%EOF\n") is ScanKind.PDF


@given(st.binary(max_size=64))
def test_no_bytes_do_more_than_be_refused(content: bytes) -> None:
    try:
        kind = kind_of(content)
    except NoScan:
        return
    assert content.startswith(
        {ScanKind.PDF: b"%PDF-", ScanKind.JPEG: b"\xff\xd8\xff", ScanKind.PNG: b"\x89PNG"}[kind]
    )
