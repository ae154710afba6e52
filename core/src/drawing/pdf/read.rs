//! The words of a file that this room wrote, page by page.
//!
//! Only as much of ISO 32000-1 is read as [`super::write`] writes: objects one after the other,
//! streams packed or plain, one composite font with codes of two bytes. Anything else is no file of
//! ours.

use std::collections::BTreeMap;

/// The most that one stream may unpack to: a hundred times the fullest sheet.
const MOST: usize = 32 << 20;

/// The texts of every page, in the order in which they were drawn; nothing for a file that was not
/// written here.
pub fn texts(bytes: &[u8]) -> Option<Vec<Vec<String>>> {
    let objects = objects(bytes)?;
    let tree = objects.values().find(|object| object.head.contains("/Type /Pages"))?;
    let (_, kids) = tree.head.split_once("/Kids")?;
    let kids = references(kids.split_once('[')?.1.split_once(']')?.0);
    let characters = characters(&objects)?;
    kids.into_iter()
        .map(|page| {
            let head = &objects.get(&page)?.head;
            let content = references(head.split_once("/Contents")?.1).into_iter().next()?;
            Some(shown(objects.get(&content)?.stream.as_deref()?, &characters))
        })
        .collect()
}

struct Object {
    head: String,
    stream: Option<Vec<u8>>,
}

fn find(bytes: &[u8], what: &[u8], from: usize) -> Option<usize> {
    let at = bytes.get(from..)?.windows(what.len()).position(|window| window == what)?;
    Some(from + at)
}

/// Every object with its number.
fn objects(bytes: &[u8]) -> Option<BTreeMap<u32, Object>> {
    if !bytes.starts_with(b"%PDF-") {
        return None;
    }
    let mut list = BTreeMap::new();
    let mut from = 0;
    while let Some(at) = find(bytes, b" 0 obj", from) {
        let digits = bytes.get(..at)?.iter().rev().take_while(|sign| sign.is_ascii_digit()).count();
        let number = std::str::from_utf8(bytes.get(at - digits..at)?).ok()?.parse().ok()?;
        let start = at + b" 0 obj".len();
        let end = find(bytes, b"endobj", start)?;
        let stream = find(bytes, b"stream", start).filter(|stream| *stream < end);
        let head = String::from_utf8_lossy(bytes.get(start..stream.unwrap_or(end))?).into_owned();
        let mut next = end;
        let stream = match stream {
            None => None,
            Some(stream) => {
                let length = head.split_once("/Length ")?.1;
                let length: usize = length.split(|sign: char| !sign.is_ascii_digit()).next()?.parse().ok()?;
                let mut first = stream + b"stream".len();
                if bytes.get(first) == Some(&b'\r') {
                    first += 1;
                }
                first += 1;
                let packed = bytes.get(first..first.checked_add(length)?)?;
                // What is packed may hold the very word that ends an object.
                next = find(bytes, b"endobj", first + length)?;
                Some(if head.contains("/FlateDecode") {
                    miniz_oxide::inflate::decompress_to_vec_zlib_with_limit(packed, MOST).ok()?
                } else {
                    packed.to_vec()
                })
            }
        };
        list.insert(number, Object { head, stream });
        from = next;
    }
    Some(list)
}

/// The numbers of `7 0 R 9 0 R`, up to what is none.
fn references(text: &str) -> Vec<u32> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let sets = words
        .chunks_exact(3)
        .take_while(|set| set.get(1) == Some(&"0") && set.get(2).is_some_and(|r| r.starts_with('R')));
    sets.filter_map(|set| set.first()?.parse().ok()).collect()
}

/// The way back from codes to characters (ISO 32000-1, 9.10.3).
fn characters(objects: &BTreeMap<u32, Object>) -> Option<BTreeMap<u16, String>> {
    let streams = objects.values().filter_map(|object| object.stream.as_deref());
    let table = streams.map(String::from_utf8_lossy).find(|text| text.contains("beginbfchar"))?;
    let mut list = BTreeMap::new();
    for line in table.lines() {
        let mut words = line.split(['<', '>']).map(str::trim).filter(|word| !word.is_empty());
        let (Some(code), Some(sign)) = (words.next(), words.next()) else { continue };
        let (Ok(code), Some(sign)) = (u16::from_str_radix(code, 16), utf16(sign)) else { continue };
        list.insert(code, sign);
    }
    Some(list)
}

fn utf16(hex: &str) -> Option<String> {
    let units: Option<Vec<u16>> =
        (0..hex.len() / 4).map(|at| u16::from_str_radix(hex.get(at * 4..at * 4 + 4)?, 16).ok()).collect();
    String::from_utf16(&units?).ok()
}

/// The strings that a content stream shows.
fn shown(content: &[u8], characters: &BTreeMap<u16, String>) -> Vec<String> {
    let mut texts = Vec::new();
    let mut codes: Vec<u8> = Vec::new();
    let mut at = 0;
    while let Some(&sign) = content.get(at) {
        at += 1;
        match sign {
            b'(' => codes = literal(content, &mut at),
            b'<' => codes = hexadecimal(content, &mut at),
            b'T' if content.get(at) == Some(&b'j') => {
                let said = codes.chunks_exact(2).filter_map(|pair| {
                    let code = u16::from_be_bytes([*pair.first()?, *pair.get(1)?]);
                    characters.get(&code).map(String::as_str)
                });
                texts.push(said.collect());
                at += 1;
            }
            _ => {}
        }
    }
    texts
}

/// A string in round brackets (ISO 32000-1, 7.3.4.2), read from behind the opening one.
fn literal(content: &[u8], at: &mut usize) -> Vec<u8> {
    let mut out = Vec::new();
    let mut depth = 1;
    while let Some(&sign) = content.get(*at) {
        *at += 1;
        match sign {
            b'\\' => {
                let Some(&next) = content.get(*at) else { break };
                *at += 1;
                match next {
                    b'n' => out.push(b'\n'),
                    b'r' => out.push(b'\r'),
                    b't' => out.push(b'\t'),
                    b'b' => out.push(8),
                    b'f' => out.push(12),
                    b'0'..=b'7' => {
                        let mut value = u32::from(next - b'0');
                        for _ in 0..2 {
                            let Some(digit @ b'0'..=b'7') = content.get(*at).copied() else { break };
                            value = value * 8 + u32::from(digit - b'0');
                            *at += 1;
                        }
                        out.push(u8::try_from(value & 255).unwrap_or(0));
                    }
                    b'\n' => {}
                    other => out.push(other),
                }
            }
            b'(' => {
                depth += 1;
                out.push(sign);
            }
            b')' => {
                depth -= 1;
                if depth == 0 {
                    break;
                }
                out.push(sign);
            }
            _ => out.push(sign),
        }
    }
    out
}

/// A string of hexadecimal digits, read from behind its opening bracket.
fn hexadecimal(content: &[u8], at: &mut usize) -> Vec<u8> {
    let mut digits = Vec::new();
    while let Some(&sign) = content.get(*at) {
        *at += 1;
        match sign {
            b'>' => break,
            sign => digits.extend(char::from(sign).to_digit(16)),
        }
    }
    let pairs = digits.chunks(2).map(|pair| pair.first().unwrap_or(&0) * 16 + pair.get(1).unwrap_or(&0));
    pairs.filter_map(|byte| u8::try_from(byte).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Format, Shape, Stamp, lay_out};
    use crate::plan::tests::m5_key;

    #[test]
    fn what_is_written_is_read_back() {
        let part = m5_key();
        let stamp = Stamp { revision: "(B\\)".to_owned(), digest: "0123456789ab".to_owned(), ..Stamp::default() };
        let sheet = lay_out(&part, &Format::usual(part.unit), &stamp).value.expect("a sheet");
        let drawn: Vec<String> = sheet
            .items
            .iter()
            .filter_map(|item| match &item.shape {
                Shape::Text { text, .. } => Some(text.clone()),
                _ => None,
            })
            .collect();
        let bytes = super::super::write(&[&sheet, &sheet]).expect("a file");
        let pages = texts(&bytes).expect("ours");
        assert_eq!(pages, [drawn.clone(), drawn], "every text of both pages, in order");
    }

    #[test]
    fn files_of_others_are_none_of_ours() {
        let part = m5_key();
        let sheet = lay_out(&part, &Format::usual(part.unit), &Stamp::default()).value.expect("a sheet");
        let bytes = super::super::write(&[&sheet]).expect("a file");
        assert_eq!(texts(b"%PDF-1.7 1 0 obj"), None, "cut short");
        assert_eq!(texts(b""), None, "nothing");
        for at in (0..bytes.len()).step_by(97) {
            let mut hurt = bytes.clone();
            hurt[at] ^= 0x5a;
            let _no_panic = texts(&hurt);
            let _no_panic = texts(&bytes[..at]);
        }
    }
}
