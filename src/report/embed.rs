//! Bytes as base64 (RFC 4648, section 4), so that a photo can stand inside the page itself.

const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// A `data:` address of a JPEG.
pub(crate) fn jpeg(bytes: &[u8]) -> String {
    let mut address = String::with_capacity(bytes.len() / 3 * 4 + 32);
    address.push_str("data:image/jpeg;base64,");
    base64(bytes, &mut address);
    address
}

/// Appends bytes as base64.
pub fn base64(bytes: &[u8], out: &mut String) {
    for three in bytes.chunks(3) {
        let [a, b, c] = [0, 1, 2].map(|place| u32::from(three.get(place).copied().unwrap_or(0)));
        let bits = a << 16 | b << 8 | c;
        for place in 0..4 {
            let sign = SIGNS.get((bits >> (18 - 6 * place) & 63) as usize).copied().unwrap_or(b'=');
            out.push(if place <= three.len() { char::from(sign) } else { '=' });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::base64;

    #[test]
    fn the_vectors_of_rfc_4648_section_10_come_out() {
        let pairs = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (bytes, text) in pairs {
            let mut out = String::new();
            base64(bytes.as_bytes(), &mut out);
            assert_eq!(out, text);
        }
    }
}
