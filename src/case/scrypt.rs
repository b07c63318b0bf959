//! The key of a sealed pack: scrypt with r = 8 and p = 1, in a fixed 32 MiB of memory whatever the work.
//!
//! Formula: RFC 7914, sections 3 to 6. `B = PBKDF2-HMAC-SHA256(P, S, 1, 1024 bytes)`; `V[0] = B`, `V[i+1] = BlockMix(V[i])`;
//! then N times `X = BlockMix(X xor V[Integerify(X) mod N])`; `key = PBKDF2-HMAC-SHA256(P, X, 1, 32 bytes)`. [RFC7914]
//!
//! Plain scrypt keeps all of V: 256 MiB at N = 2^18, more than a small clinic tablet may have to spare. Here only every k-th
//! block of V is kept, with k = N / 2^15, and the others are computed again from the kept one before them. The key is the same
//! to the last bit; the work is (k + 3) / 4 times that of plain scrypt, 2.75 times at N = 2^18. An attacker gains nothing from
//! that: whoever has the memory has the plain way.
//!
//! Domain: N = 2^1 to 2^20. Exact: no rounding anywhere. Checked against RFC 7914 (the vector of section 12 with r = 8, p = 1 and
//! N = 2^14), RFC 4231, OpenSSL through Python's hashlib (N = 2 and 2^16), the plain way of the `age` crate (2^16), and packs
//! that Debian's `age` opens and makes (2^18).

use sha2::{Digest, Sha256};

/// Words in a block of 128 r bytes, r = 8.
const BLOCK: usize = 256;
/// Words that Salsa20 mixes at once.
const CHUNK: usize = 16;
/// The most blocks that are kept: 32 MiB.
const MOST_KEPT: usize = 1 << 15;

type Block = [u32; BLOCK];

/// The key for a passphrase and a salt, with `N = 2^work`.
pub(super) fn key(passphrase: &[u8], salt: &[u8], work: u8) -> [u8; 32] {
    let blocks = 1usize << work.clamp(1, 20);
    let mut bytes = [0u8; BLOCK * 4];
    stretch(passphrase, salt, &mut bytes);
    let mut block: Block = [0; BLOCK];
    for (word, four) in block.iter_mut().zip(bytes.chunks_exact(4)) {
        *word = u32::from_le_bytes([four[0], four[1], four[2], four[3]]);
    }
    rearrange(&mut block, &DIAGONALS);
    mix(&mut block, blocks, (blocks / MOST_KEPT).max(1));
    rearrange(&mut block, &ROWS);
    for (word, four) in block.iter().zip(bytes.chunks_exact_mut(4)) {
        four.copy_from_slice(&word.to_le_bytes());
    }
    let mut key = [0u8; 32];
    stretch(passphrase, &bytes, &mut key);
    key
}

/// Where the words of a chunk stand while it is mixed: the four diagonals of the 4 × 4 square, so that four words go through
/// each step side by side.
const DIAGONALS: [usize; CHUNK] = [0, 5, 10, 15, 4, 9, 14, 3, 8, 13, 2, 7, 12, 1, 6, 11];
/// The way back.
const ROWS: [usize; CHUNK] = [0, 13, 10, 7, 4, 1, 14, 11, 8, 5, 2, 15, 12, 9, 6, 3];

fn rearrange(block: &mut Block, order: &[usize; CHUNK]) {
    for chunk in block.chunks_exact_mut(CHUNK) {
        let old: [u32; CHUNK] = std::array::from_fn(|at| chunk[at]);
        for (word, from) in chunk.iter_mut().zip(order) {
            *word = old[*from];
        }
    }
}

/// scryptROMix: RFC 7914, section 5, with every `stride`-th block of V kept.
fn mix(block: &mut Block, blocks: usize, stride: usize) {
    let mut kept: Vec<Block> = Vec::with_capacity(blocks / stride);
    let mut other: Block = [0; BLOCK];
    for at in 0..blocks {
        if at % stride == 0 {
            kept.push(*block);
        }
        mix_block(block, &mut other);
        std::mem::swap(block, &mut other);
    }
    let mut wanted: Block;
    for _ in 0..blocks {
        let at = block[BLOCK - CHUNK] as usize & (blocks - 1);
        wanted = kept[at / stride];
        for _ in 0..at % stride {
            mix_block(&wanted, &mut other);
            std::mem::swap(&mut wanted, &mut other);
        }
        for (word, with) in wanted.iter_mut().zip(block.iter()) {
            *word ^= with;
        }
        mix_block(&wanted, block);
    }
}

/// scryptBlockMix: RFC 7914, section 4. Even chunks come first in the result, then the odd ones.
fn mix_block(from: &Block, to: &mut Block) {
    let mut chunk: [u32; CHUNK] = std::array::from_fn(|at| from[BLOCK - CHUNK + at]);
    for (number, next) in from.chunks_exact(CHUNK).enumerate() {
        for (word, with) in chunk.iter_mut().zip(next) {
            *word ^= with;
        }
        salsa(&mut chunk);
        let place = (number / 2 + number % 2 * (BLOCK / CHUNK / 2)) * CHUNK;
        to[place..place + CHUNK].copy_from_slice(&chunk);
    }
}

/// Salsa20/8: RFC 7914, section 3, on diagonals.
#[inline(always)]
fn salsa(chunk: &mut [u32; CHUNK]) {
    let diagonal = |number: usize| -> [u32; 4] { std::array::from_fn(|at| chunk[4 * number + at]) };
    let (mut a, mut b, mut c, mut d) = (diagonal(0), diagonal(1), diagonal(2), diagonal(3));
    for _ in 0..4 {
        (a, b, c, d) = quarters(a, b, c, d);
        // The rows are the columns of the square turned over.
        (a, d, c, b) = quarters(a, turned(d, 1), turned(c, 2), turned(b, 3));
        (b, c, d) = (turned(b, 1), turned(c, 2), turned(d, 3));
    }
    for (part, sum) in [a, b, c, d].into_iter().enumerate() {
        for at in 0..4 {
            chunk[4 * part + at] = chunk[4 * part + at].wrapping_add(sum[at]);
        }
    }
}

type Four = [u32; 4];

#[inline(always)]
fn turned(four: Four, by: usize) -> Four {
    std::array::from_fn(|at| four[(at + by) % 4])
}

#[inline(always)]
fn quarters(mut a: Four, mut b: Four, mut c: Four, mut d: Four) -> (Four, Four, Four, Four) {
    for at in 0..4 {
        b[at] ^= a[at].wrapping_add(d[at]).rotate_left(7);
    }
    for at in 0..4 {
        c[at] ^= b[at].wrapping_add(a[at]).rotate_left(9);
    }
    for at in 0..4 {
        d[at] ^= c[at].wrapping_add(b[at]).rotate_left(13);
    }
    for at in 0..4 {
        a[at] ^= d[at].wrapping_add(c[at]).rotate_left(18);
    }
    (a, b, c, d)
}

/// PBKDF2-HMAC-SHA256 with one round: RFC 8018, section 5.2. [RFC8018]
fn stretch(passphrase: &[u8], salt: &[u8], out: &mut [u8]) {
    for (number, part) in (1u32..).zip(out.chunks_mut(32)) {
        let full = authenticate(passphrase, &[salt, &number.to_be_bytes()]);
        part.copy_from_slice(&full[..part.len()]);
    }
}

/// HMAC-SHA256: RFC 2104. [RFC2104]
fn authenticate(key: &[u8], message: &[&[u8]]) -> [u8; 32] {
    let mut padded = [0u8; 64];
    if key.len() > padded.len() {
        padded[..32].copy_from_slice(&Sha256::digest(key));
    } else {
        padded[..key.len()].copy_from_slice(key);
    }
    let mut inner = Sha256::new_with_prefix(padded.map(|byte| byte ^ 0x36));
    message.iter().for_each(|part| inner.update(part));
    let mut outer = Sha256::new_with_prefix(padded.map(|byte| byte ^ 0x5c));
    outer.update(inner.finalize());
    outer.finalize().into()
}

#[cfg(test)]
mod tests {
    use super::{BLOCK, Block, authenticate, key, mix, stretch};

    fn hex(bytes: &[u8]) -> String {
        bytes.iter().map(|byte| format!("{byte:02x}")).collect()
    }

    /// RFC 7914, section 11, the first vector, and section 12, the third; its key is the head of the 64 bytes given there.
    #[test]
    fn the_vectors_of_rfc_7914_come_out() {
        let mut out = [0u8; 64];
        stretch(b"passwd", b"salt", &mut out);
        assert_eq!(
            hex(&out),
            "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc\
             49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783"
        );
        assert_eq!(
            hex(&key(b"pleaseletmein", b"SodiumChloride", 14)),
            "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
        );
    }

    /// RFC 4231, section 4.7: a key longer than a block, as a long passphrase is. [RFC4231]
    #[test]
    fn a_key_longer_than_a_block_is_hashed_first() {
        assert_eq!(
            hex(&authenticate(&[0xaa; 131], &[b"Test Using Larger Than Block-Size Key ", b"- Hash Key First"])),
            "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54"
        );
    }

    /// `hashlib.scrypt(passphrase, salt=salt, n=n, r=8, p=1, dklen=32)` of Python, which is OpenSSL's.
    #[test]
    fn openssl_derives_the_same_keys() {
        let long = "four words or more that belong together for nobody else, longer than any block";
        assert_eq!(
            hex(&key(long.as_bytes(), b"", 1)),
            "96230ae90fbc615fffafd7075c6d59541fae42410f9bc64dce47f70e58144df4"
        );
        let salt: [u8; 16] = std::array::from_fn(|at| u8::try_from(at).unwrap());
        assert_eq!(
            hex(&key("ocho ríos".as_bytes(), &salt, 16)),
            "f204d7712082e689f362692557d837f59a10d3e12ba99806a54775a753de5470"
        );
    }

    #[test]
    fn what_is_not_kept_is_computed_again_to_the_same_bit() {
        let begun: Block = std::array::from_fn(|at| u32::try_from(at * at).unwrap());
        let mixed = |stride: usize| {
            let mut block = begun;
            mix(&mut block, 64, stride);
            block
        };
        let plain = mixed(1);
        assert_ne!(plain[..BLOCK], begun[..]);
        for stride in [2, 4, 8, 64] {
            assert_eq!(mixed(stride)[..], plain[..], "every {stride}th");
        }
    }
}
