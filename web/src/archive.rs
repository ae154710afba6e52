//! Several files in one, as ZIP without compression.
//!
//! By the published APPNOTE.TXT 6.3.10, sections 4.3.7, 4.3.12 and 4.3.16. There is no date in it
//! but the format's first, 1 January 1980, so that the same files give the same bytes.

/// Version 2.0 is needed to read it.
const NEEDED: u16 = 20;
/// Names are UTF-8: bit 11 (4.4.4).
const UTF8: u16 = 1 << 11;
/// 1 January 1980, as years since 1980, month and day (4.4.6).
const FIRST_DAY: u16 = (1 << 5) | 1;

/// Writes an archive of files by name, all in one folder.
///
/// Nothing where it would be too large for the plain format: 4 GiB or 65,535 files.
pub(crate) fn write(folder: &str, files: &[(String, Vec<u8>)]) -> Option<Vec<u8>> {
    let mut out = Vec::new();
    let mut list = Vec::new();
    for (name, bytes) in files {
        let name = format!("{folder}/{name}");
        let at = u32::try_from(out.len()).ok()?;
        let mut entry = Vec::new();
        for word in [NEEDED, UTF8, 0, 0, FIRST_DAY] {
            entry.extend(word.to_le_bytes());
        }
        let size = u32::try_from(bytes.len()).ok()?;
        for word in [check(bytes), size, size] {
            entry.extend(word.to_le_bytes());
        }
        entry.extend(u16::try_from(name.len()).ok()?.to_le_bytes());
        out.extend(*b"PK\x03\x04");
        out.extend(&entry);
        out.extend(0_u16.to_le_bytes());
        out.extend(name.as_bytes());
        out.extend(bytes);
        list.extend(*b"PK\x01\x02");
        list.extend(NEEDED.to_le_bytes());
        list.extend(&entry);
        // No extra field, no comment, first disk, no attributes.
        list.extend([0; 12]);
        list.extend(at.to_le_bytes());
        list.extend(name.as_bytes());
    }
    let count = u16::try_from(files.len()).ok()?;
    let (at, size) = (u32::try_from(out.len()).ok()?, u32::try_from(list.len()).ok()?);
    out.extend(list);
    out.extend(*b"PK\x05\x06");
    out.extend([0; 4]);
    out.extend(count.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(size.to_le_bytes());
    out.extend(at.to_le_bytes());
    out.extend([0; 2]);
    Some(out)
}

/// The cyclic redundancy check of ZIP (4.4.7), as ISO 3309 has it.
fn check(bytes: &[u8]) -> u32 {
    let mut value = !0_u32;
    for byte in bytes {
        value ^= u32::from(*byte);
        for _ in 0..8 {
            value = if value & 1 == 1 { value >> 1 ^ 0xEDB8_8320 } else { value >> 1 };
        }
    }
    !value
}

#[cfg(test)]
mod tests {
    use super::{check, write};

    /// The check value that catalogues of such codes give for this text.
    #[test]
    fn check_as_published() {
        assert_eq!(check(b"123456789"), 0xCBF4_3926, "CRC-32/ISO-HDLC");
    }

    #[test]
    fn ends_where_the_list_says() {
        let files = [("a.txt".to_owned(), b"one".to_vec()), ("b.txt".to_owned(), Vec::new())];
        let bytes = write("key", &files).expect("small");
        let end = bytes.len() - 22;
        assert_eq!(&bytes[end..end + 4], b"PK\x05\x06", "the end record");
        let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().expect("four"));
        let (size, at) = (word(end + 12) as usize, word(end + 16) as usize);
        assert_eq!(at + size, end, "the list reaches up to the end record");
        assert_eq!(&bytes[at..at + 4], b"PK\x01\x02", "the list begins");
    }
}
