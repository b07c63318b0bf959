//! Sealing with a passphrase, in the age format (C2SP, "age: file encryption", version 1), so that a pack can be opened
//! without this program: `age --decrypt`. [C2SP-age]
//!
//! The work factor is that of `age` itself: 2^18. A pack that asks for more is refused before the work is done. The key is
//! computed here (`scrypt.rs`), since the plain way needs 256 MiB; everything else is the age crate's.

use std::io::{Read, Write};

use super::pack_fault::PackFault;

/// The scrypt work factor of packs, as a power of two, and the largest that is opened: what `age` itself asks for.
pub const WORK: u8 = 18;

/// Whether a file that begins so is a sealed one.
pub fn is_sealed(beginning: &[u8]) -> bool {
    beginning.starts_with(b"age-encryption.org/")
}

/// Seals what `fill` writes.
#[cfg(feature = "hand-over")]
pub(super) fn seal<W: Write>(
    out: W,
    passphrase: &str,
    work: u8,
    fill: impl FnOnce(&mut dyn Write) -> Result<(), PackFault>,
) -> Result<W, PackFault> {
    let recipient = with_age::Words { passphrase, work };
    let sealed = age::Encryptor::with_recipients(std::iter::once(&recipient as &dyn age::Recipient))
        .map_err(|error| PackFault::Sealing(error.to_string()))?;
    let mut sealing = sealed.wrap_output(out).map_err(PackFault::Writing)?;
    fill(&mut sealing)?;
    sealing.finish().map_err(PackFault::Writing)
}

/// Opens a pack and hands its content to `take`, which must read it to its end: only then is it known to be whole.
#[cfg(feature = "hand-over")]
pub(super) fn open<R: Read, T>(
    pack: R,
    passphrase: &str,
    take: impl FnOnce(&mut dyn Read) -> Result<T, PackFault>,
) -> Result<T, PackFault> {
    use age::DecryptError;
    let refused = |error: DecryptError| match error {
        DecryptError::ExcessiveWork { required, .. } => PackFault::ExcessiveWork(required),
        DecryptError::KeyDecryptionFailed | DecryptError::DecryptionFailed | DecryptError::NoMatchingKeys => {
            PackFault::WrongPassphrase
        }
        DecryptError::InvalidMac => PackFault::Damaged("its head was changed".to_owned()),
        DecryptError::Io(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => {
            PackFault::Damaged("it was cut".to_owned())
        }
        _ => PackFault::NotAPack,
    };
    let sealed = age::Decryptor::new_buffered(std::io::BufReader::new(pack)).map_err(refused)?;
    if !sealed.is_scrypt() {
        return Err(PackFault::NoPassphrase);
    }
    let identity = with_age::Words { passphrase, work: WORK };
    let mut opened = sealed.decrypt(std::iter::once(&identity as &dyn age::Identity)).map_err(refused)?;
    take(&mut opened)
}

/// The passphrase stanza of the format (C2SP age, "The scrypt recipient type"), with the key computed in little memory.
#[cfg(feature = "hand-over")]
mod with_age {
    use std::collections::HashSet;

    use age::secrecy::ExposeSecret;
    use age::{DecryptError, EncryptError};
    use age_core::format::{FILE_KEY_BYTES, FileKey, Stanza};
    use age_core::primitives::{aead_decrypt, aead_encrypt};

    use crate::case::scrypt;

    const TAG: &str = "scrypt";
    const LABEL: &[u8] = b"age-encryption.org/v1/scrypt";
    const SALT: usize = 16;

    /// A passphrase, and the work factor to seal with or the largest to open.
    pub(super) struct Words<'a> {
        pub(super) passphrase: &'a str,
        pub(super) work: u8,
    }

    impl Words<'_> {
        fn key(&self, salt: &[u8; SALT], work: u8) -> [u8; 32] {
            scrypt::key(self.passphrase.as_bytes(), &[LABEL, salt].concat(), work)
        }
    }

    impl age::Recipient for Words<'_> {
        fn wrap_file_key(&self, file_key: &FileKey) -> Result<(Vec<Stanza>, HashSet<String>), EncryptError> {
            // The crate's own stanza at the least work gives the salt and the label, fresh from the system's randomness.
            let mut plain = age::scrypt::Recipient::new(String::new().into());
            plain.set_work_factor(1);
            let (mut stanzas, labels) = plain.wrap_file_key(file_key)?;
            for stanza in &mut stanzas {
                let Some(salt) = stanza.args.first().and_then(|text| salt(text)) else { continue };
                stanza.args.truncate(1);
                stanza.args.push(self.work.to_string());
                stanza.body = aead_encrypt(&self.key(&salt, self.work), file_key.expose_secret());
            }
            Ok((stanzas, labels))
        }
    }

    impl age::Identity for Words<'_> {
        fn unwrap_stanza(&self, stanza: &Stanza) -> Option<Result<FileKey, DecryptError>> {
            (stanza.tag == TAG).then(|| {
                let [salt_text, work] = &stanza.args[..] else { return Err(DecryptError::InvalidHeader) };
                let canonical = !work.starts_with('0') && work.bytes().all(|digit| digit.is_ascii_digit());
                let (Some(salt), true) = (salt(salt_text), canonical && work.len() <= 2) else {
                    return Err(DecryptError::InvalidHeader);
                };
                let work: u8 = work.parse().map_err(|_| DecryptError::InvalidHeader)?;
                if work > self.work {
                    return Err(DecryptError::ExcessiveWork { required: work, target: self.work });
                }
                let opened = aead_decrypt(&self.key(&salt, work), FILE_KEY_BYTES, &stanza.body)
                    .map_err(|_| DecryptError::KeyDecryptionFailed)?;
                Ok(FileKey::init_with_mut(|key| key.copy_from_slice(&opened)))
            })
        }
    }

    /// A salt from its base64 without padding (RFC 4648, section 4), the only way of writing it.
    fn salt(text: &str) -> Option<[u8; SALT]> {
        const DIGITS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
        let mut bytes = Vec::with_capacity(SALT + 1);
        let (mut held, mut bits) = (0u32, 0u32);
        for sign in text.bytes() {
            let digit = DIGITS.iter().position(|one| *one == sign)?;
            held = held << 6 | u32::try_from(digit).ok()?;
            bits += 6;
            if bits >= 8 {
                bits -= 8;
                bytes.push(u8::try_from(held >> bits & 0xff).ok()?);
                held &= (1 << bits) - 1;
            }
        }
        if held == 0 && text.len() == 22 { bytes.try_into().ok() } else { None }
    }

    #[cfg(test)]
    mod tests {
        use super::salt;

        #[test]
        fn a_salt_has_one_way_of_writing() {
            assert_eq!(salt("AAECAwQFBgcICQoLDA0ODw"), Some(std::array::from_fn(|at| u8::try_from(at).unwrap())));
            for wrong in [
                "AAECAwQFBgcICQoLDA0ODx",
                "AAECAwQFBgcICQoLDA0ODw==",
                "AAECAwQFBgcICQoLDA0O",
                "",
                "*AECAwQFBgcICQoLDA0ODw",
            ] {
                assert_eq!(salt(wrong), None, "{wrong}");
            }
        }
    }
}

/// This build was made without sealing.
#[cfg(not(feature = "hand-over"))]
pub(super) fn seal<W: Write>(
    _out: W,
    _passphrase: &str,
    _work: u8,
    _fill: impl FnOnce(&mut dyn Write) -> Result<(), PackFault>,
) -> Result<W, PackFault> {
    Err(PackFault::NotBuilt)
}

/// This build was made without sealing.
#[cfg(not(feature = "hand-over"))]
pub(super) fn open<R: Read, T>(
    _pack: R,
    _passphrase: &str,
    _take: impl FnOnce(&mut dyn Read) -> Result<T, PackFault>,
) -> Result<T, PackFault> {
    Err(PackFault::NotBuilt)
}
