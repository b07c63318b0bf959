//! What a file is, told by its first bytes alone.

use super::refusal::Fault;

/// How many first bytes are looked at.
pub(super) const HEAD: u64 = 64 << 10;

/// A form that can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Wav,
    Coded(Form),
}

/// A form that needs a decoder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    Flac,
    Mp3,
    Vorbis,
    Mp4,
    Aac,
}

/// First bytes of what is not read, and what it is called.
const OTHERS: &[(usize, &[u8], &str)] = &[
    (8, b"AIFF", "an AIFF file"),
    (8, b"AIFC", "an AIFF file"),
    (0, b"RIFX", "a big-endian WAV file"),
    (0, b"riff\x2e\x91\xcf\x11", "a Wave64 file"),
    (0, b"caff", "a Core Audio (CAF) file"),
    (0, b"#!AMR", "an AMR phone recording"),
    (0, b"#!SILK", "a SILK voice message"),
    (0, b"\x02#!SILK", "a SILK voice message"),
    (0, b".snd", "an AU file"),
    (0, b"\x1a\x45\xdf\xa3", "a WebM or Matroska file"),
    (0, b"\x30\x26\xb2\x75\x8e\x66\xcf\x11", "a Windows Media (WMA) file"),
    (0, b"wvpk", "a WavPack file"),
    (0, b"TTA1", "a True Audio file"),
    (0, b"MThd", "a MIDI file, notes without sound,"),
];

/// First bytes of what is no recording at all.
const NO_SOUND: &[(&[u8], &str)] = &[
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a ZIP archive"),
    (b"\x1f\x8b", "a compressed archive"),
    (b"7z\xbc\xaf", "an archive"),
    (b"Rar!", "an archive"),
];

/// What these first bytes begin.
pub(super) fn kind(head: &[u8]) -> Result<Kind, Fault> {
    let starts = |at: usize, magic: &[u8]| head.get(at..).is_some_and(|rest| rest.starts_with(magic));
    if [b"RIFF", b"RF64", b"BW64"].iter().any(|magic| starts(0, *magic)) {
        if head.len() < 12 {
            return Err(Fault::NoSound);
        }
        if starts(8, b"WAVE") {
            return Ok(Kind::Wav);
        }
        let found =
            if starts(8, b"AVI ") { "a video" } else { "it begins like a WAV file and goes on as something else" };
        return Err(Fault::NotSound { found: found.to_owned() });
    }
    if starts(0, b"fLaC") {
        return Ok(Kind::Coded(Form::Flac));
    }
    if starts(0, b"OggS") {
        return ogg(head);
    }
    if starts(4, b"ftyp") {
        return mp4(head);
    }
    if let Some((.., name)) = OTHERS.iter().find(|(at, magic, _)| starts(*at, magic)) {
        return Err(Fault::Unsupported { format: (*name).to_owned() });
    }
    let tag = id3_length(head);
    if tag.is_some_and(|length| length >= head.len()) {
        // The tag fills all that was looked at; the decoder will tell.
        return Ok(Kind::Coded(Form::Mp3));
    }
    let body = head.get(tag.unwrap_or(0)..).unwrap_or_default();
    if body.starts_with(b"fLaC") {
        return Ok(Kind::Coded(Form::Flac));
    }
    if run_of_frames(body, adts_length) {
        return Ok(Kind::Coded(Form::Aac));
    }
    if run_of_frames(body, mpeg_length) {
        return Ok(Kind::Coded(Form::Mp3));
    }
    Err(Fault::NotSound { found: what_else(head).to_owned() })
}

fn what_else(head: &[u8]) -> &'static str {
    if let Some((_, name)) = NO_SOUND.iter().find(|(magic, _)| head.starts_with(magic)) {
        return name;
    }
    let text = head.iter().take(512).all(|byte| byte.is_ascii_graphic() || byte.is_ascii_whitespace() || *byte >= 0x80);
    let lower: String = head.iter().take(64).map(|byte| char::from(byte.to_ascii_lowercase())).collect();
    if text && (lower.contains("<!doctype html") || lower.contains("<html")) {
        "a web page"
    } else if text {
        "text"
    } else {
        "no form of recording that it knows"
    }
}

fn ogg(head: &[u8]) -> Result<Kind, Fault> {
    // The first page: 27 bytes, a table of segments, then the first packet, which names the coding.
    let segments = usize::from(head.get(26).copied().unwrap_or(0));
    let packet = head.get(27 + segments..).unwrap_or_default();
    let unsupported = |format: &str| Err(Fault::Unsupported { format: format.to_owned() });
    if packet.starts_with(b"\x01vorbis") {
        Ok(Kind::Coded(Form::Vorbis))
    } else if packet.starts_with(b"OpusHead") {
        unsupported("an Opus recording")
    } else if packet.starts_with(b"Speex") {
        unsupported("a Speex recording")
    } else if packet.starts_with(b"\x7fFLAC") {
        unsupported("FLAC inside an OGG file")
    } else if packet.starts_with(b"\x80theora") {
        unsupported("a Theora video")
    } else {
        Err(Fault::NotSound { found: "it begins like an OGG file and goes on as something else".to_owned() })
    }
}

fn mp4(head: &[u8]) -> Result<Kind, Fault> {
    match head.get(8..12) {
        Some(b"avif" | b"avis" | b"heic" | b"heix" | b"mif1" | b"msf1") => {
            Err(Fault::NotSound { found: "a picture".to_owned() })
        }
        _ => Ok(Kind::Coded(Form::Mp4)),
    }
}

/// Where an ID3v2 tag at the start ends.
fn id3_length(head: &[u8]) -> Option<usize> {
    let tag = head.get(..10).filter(|tag| tag.starts_with(b"ID3"))?;
    let size = tag[6..10].iter().fold(0usize, |size, byte| size << 7 | usize::from(byte & 0x7f));
    Some(10 + size)
}

/// Frames in a row that make a stream of frames believable.
const FRAMES_IN_A_ROW: usize = 4;

/// Whether the bytes hold, somewhere, as many frames in a row as make chance unlikely (or as many as are left).
fn run_of_frames(bytes: &[u8], length_of: fn(&[u8]) -> Option<(usize, u32)>) -> bool {
    (0..bytes.len()).any(|start| {
        let Some((_, first)) = bytes.get(start..).and_then(length_of) else { return false };
        let mut at = start;
        for count in 0..FRAMES_IN_A_ROW {
            if at >= bytes.len() {
                return start == 0 && count > 0;
            }
            match bytes.get(at..).and_then(length_of) {
                Some((length, same)) if same == first => at += length,
                _ => return start == 0 && count > 1 && bytes.len() - at < 4,
            }
        }
        true
    })
}

/// Length and unchanging part of an MPEG layer III frame that begins here.
fn mpeg_length(bytes: &[u8]) -> Option<(usize, u32)> {
    const RATES_1: [usize; 15] = [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320];
    const RATES_2: [usize; 15] = [0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160];
    let word = u32::from_be_bytes(bytes.get(..4)?.try_into().ok()?);
    let (version, layer) = (word >> 19 & 3, word >> 17 & 3);
    let rate = usize::try_from(word >> 12 & 15).ok()?;
    let hz = *[44_100usize, 48_000, 32_000].get(usize::try_from(word >> 10 & 3).ok()?)?;
    if word >> 21 != 0x7ff || version == 1 || layer != 1 || rate == 0 || rate == 15 {
        return None;
    }
    let pad = usize::try_from(word >> 9 & 1).ok()?;
    let length = match version {
        3 => 144_000 * RATES_1[rate] / hz,
        2 => 72_000 * RATES_2[rate] / (hz / 2),
        _ => 72_000 * RATES_2[rate] / (hz / 4),
    };
    Some((length + pad, word & 0xfffe_0c00))
}

/// Length and unchanging part of an ADTS frame that begins here.
fn adts_length(bytes: &[u8]) -> Option<(usize, u32)> {
    let head = bytes.get(..7)?;
    if head[0] != 0xff || head[1] & 0xf6 != 0xf0 {
        return None;
    }
    let length = usize::from(head[3] & 3) << 11 | usize::from(head[4]) << 3 | usize::from(head[5]) >> 5;
    (length > 7).then(|| (length, u32::from_be_bytes([head[0], head[1], head[2] & 0xfd, head[3] & 0xf0])))
}

#[cfg(test)]
mod tests {
    use super::{Fault, Form, Kind, kind};

    #[test]
    fn the_content_decides() {
        assert_eq!(kind(b"RIFF\x24\0\0\0WAVEfmt "), Ok(Kind::Wav));
        assert_eq!(kind(b"fLaC\0\0\0\x22"), Ok(Kind::Coded(Form::Flac)));
        assert!(matches!(kind(b"RIFF\x24\0\0\0WAXEfmt "), Err(Fault::NotSound { .. })));
        assert!(matches!(kind(b"#!AMR\n"), Err(Fault::Unsupported { .. })));
        assert_eq!(kind(b"<!DOCTYPE html><p>"), Err(Fault::NotSound { found: "a web page".to_owned() }));
        assert_eq!(kind(b"\xff\xd8\xff\xe0 a picture"), Err(Fault::NotSound { found: "a picture".to_owned() }));
    }

    #[test]
    fn one_frame_header_in_rubbish_is_no_stream() {
        let mut bytes = vec![0x55u8; 4000];
        bytes[100..104].copy_from_slice(&[0xff, 0xfb, 0x90, 0x00]);
        assert!(matches!(kind(&bytes), Err(Fault::NotSound { .. })));
    }
}
