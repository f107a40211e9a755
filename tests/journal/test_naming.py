"""Names of entries (RFC 9562 for the shape of UUIDs)."""

from __future__ import annotations

import hashlib
from datetime import date
from random import Random
from uuid import RFC_4122, UUID

from hypothesis import given
from hypothesis import strategies as st

from tunneltui.journal.naming import (
    IMPORTS,
    entry_id,
    import_id,
)

DAY = date(2026, 6, 1)


def test_a_name_has_the_layout_of_rfc_9562() -> None:
    """RFC 9562 appendix A.6: unix_ts_ms 0x017F22E279B0 (22 Feb 2022 19:22:22 UTC), rand_a 0xCC3,
    rand_b 0x18C4DC0C0C07398F give 017F22E2-79B0-7CC3-98C4-DC0C0C07398F. Our rand_a is the part of the
    millisecond (section 6.2, method 3): 0xCC3 is 797.6 of 1000 microseconds."""
    name = entry_id(0x017F22E279B0 * 1000 + 798, lambda _: 0x18C4DC0C0C07398F)
    assert name[:15] == "017f22e2-79b0-7"
    assert name[19:] == "98c4-dc0c0c07398f"
    assert int(name[15:18], 16) == 798 * 4096 // 1000


@given(st.integers(0, 2**48 * 1000 - 1), st.integers(0, 2**62 - 1))
def test_every_name_is_a_valid_version_7(at_us: int, bits: int) -> None:
    name = UUID(entry_id(at_us, lambda _: bits))
    assert (name.version, name.variant) == (7, RFC_4122)
    assert name.int >> 80 == at_us // 1000


@given(st.integers(0, 2**50), st.integers(1, 10**9), st.randoms(use_true_random=False))
def test_a_later_name_sorts_later_as_text(at_us: int, later_us: int, chance: Random) -> None:
    assert entry_id(at_us, chance.getrandbits) < entry_id(at_us + later_us, chance.getrandbits)


def test_the_random_part_is_what_the_generator_gives() -> None:
    assert entry_id(5, Random(1).getrandbits) == entry_id(5, Random(1).getrandbits)
    assert entry_id(5, Random(1).getrandbits) != entry_id(5, Random(2).getrandbits)


def test_an_imported_row_has_one_name_wherever_it_is_read() -> None:
    """Kept by writing it down: a change of the rule would import every old file a second time."""
    assert import_id("crop", "measured", "W1-07", DAY) == "2cb97a6f-1823-5cc4-b893-84117f13774d"


def test_an_imported_row_is_named_by_rfc_9562() -> None:
    """RFC 9562 section 5.5: the first 128 bits of SHA-1 over name space and name, version 5 and variant 10 set."""
    text = b'["crop", "measured", "W1-07", "2026-06-01", 0]'
    digest = int.from_bytes(hashlib.sha1(IMPORTS.bytes + text, usedforsecurity=False).digest()[:16], "big")
    expected = digest & ~(0xF << 76) & ~(0x3 << 62) | 5 << 76 | 0b10 << 62
    assert UUID(import_id("crop", "measured", "W1-07", DAY)).int == expected


def test_rows_that_differ_in_anything_have_different_names() -> None:
    names = [
        import_id("crop", "measured", "W1-07", DAY),
        import_id("air", "measured", "W1-07", DAY),
        import_id("crop", "picked", "W1-07", DAY),
        import_id("crop", "measured", "W1-08", DAY),
        import_id("crop", "measured", "W1-07", date(2026, 6, 2)),
        import_id("crop", "measured", "W1-07", DAY, 1),
        import_id("cropm", "easured", "W1-07", DAY),
    ]
    assert len(set(names)) == len(names)
