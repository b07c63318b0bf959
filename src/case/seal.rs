//! Sealing with a passphrase, in the age format (C2SP, "age: file encryption", version 1), so that a pack can be opened
//! without this program: `age --decrypt`.
//!
//! The work factor is 15: the key costs 32 MiB of memory and well under a second, on a telephone too. It is less than
//! `age` itself asks for, so a passphrase of several words matters; the limits say so. A pack that asks for more than 2^18
//! (what `age` uses) is refused before the work is done.

use std::io::{Read, Write};

use super::pack_fault::PackFault;

/// The scrypt work factor of packs made here, as a power of two. Convention.
#[cfg(feature = "hand-over")]
const WORK: u8 = 15;
/// The largest work factor that is opened: 256 MiB of memory.
#[cfg(feature = "hand-over")]
const MOST_WORK: u8 = 18;

/// Seals what `fill` writes.
#[cfg(feature = "hand-over")]
pub(super) fn seal<W: Write>(
    out: W,
    passphrase: &str,
    fill: impl FnOnce(&mut dyn Write) -> Result<(), PackFault>,
) -> Result<W, PackFault> {
    let mut recipient = age::scrypt::Recipient::new(passphrase.to_owned().into());
    recipient.set_work_factor(WORK);
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
        // Its own words subtract the one from the other, and the required work may be the smaller.
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
    let mut identity = age::scrypt::Identity::new(passphrase.to_owned().into());
    identity.set_max_work_factor(MOST_WORK);
    let mut opened = sealed.decrypt(std::iter::once(&identity as &dyn age::Identity)).map_err(refused)?;
    take(&mut opened)
}

/// This build was made without sealing.
#[cfg(not(feature = "hand-over"))]
pub(super) fn seal<W: Write>(
    _out: W,
    _passphrase: &str,
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
