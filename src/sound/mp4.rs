//! The outermost boxes of an MP4 file, walked before the decoder sees it: is the index there, and how far should the
//! file reach? A recorder that died leaves either no index, or a last box that promises more than is there.

use std::io::{Read, Seek, SeekFrom};

use super::refusal::Fault;

/// The most outermost boxes; a fragmented recording of two hours has some ten thousand.
const MOST_BOXES: usize = 100_000;

/// How many bytes the boxes promise; at least `length`.
pub(super) fn promised_length(source: &mut (impl Read + Seek + ?Sized), length: u64) -> Result<u64, Fault> {
    let failed = |error: std::io::Error| Fault::Unreadable { detail: error.to_string() };
    let mut at = 0u64;
    let mut index = false;
    let mut count = 0;
    while at.saturating_add(8) <= length {
        count += 1;
        if count > MOST_BOXES {
            return Err(Fault::TooManyChunks { cap: MOST_BOXES });
        }
        let mut head = [0; 16];
        source.seek(SeekFrom::Start(at)).map_err(failed)?;
        let mut filled = 0;
        while filled < head.len() {
            match source.read(&mut head[filled..]).map_err(failed)? {
                0 => break,
                more => filled += more,
            }
        }
        let [a, b, c, d, kind @ ..] = head;
        let [e, f, g, h, long @ ..] = kind;
        index |= [e, f, g, h] == *b"moov";
        let size = match u32::from_be_bytes([a, b, c, d]) {
            0 => length - at,
            1 => u64::from_be_bytes(long),
            size => u64::from(size),
        };
        if size < 8 {
            break;
        }
        at = at.saturating_add(size);
    }
    source.seek(SeekFrom::Start(0)).map_err(failed)?;
    if index {
        Ok(at.max(length))
    } else {
        Err(Fault::Broken {
            detail: "its index is missing: the recorder was stopped before it had finished".to_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Fault, promised_length};
    use std::io::Cursor;

    #[test]
    fn a_last_box_may_promise_more_than_is_there_and_an_index_must_be() {
        let bytes = b"\0\0\0\x08ftyp\0\0\0\x08moov\0\0\x01\0mdat".to_vec();
        assert_eq!(promised_length(&mut Cursor::new(&bytes), 24), Ok(16 + 256));
        assert!(matches!(promised_length(&mut Cursor::new(&bytes[..8]), 8), Err(Fault::Broken { .. })));
        let endless = b"\0\0\0\x01moov\xff\xff\xff\xff\xff\xff\xff\xff".to_vec();
        assert_eq!(promised_length(&mut Cursor::new(&endless), 16), Ok(u64::MAX));
        let circle = b"\0\0\0\x08moov\0\0\0\x02mdat".to_vec();
        assert_eq!(promised_length(&mut Cursor::new(&circle), 16), Ok(16));
    }
}
