//! A recording that is kept on purpose: a WAV of singles, readable by its owner only, written while it is made.

use std::io::{self, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::files;
use super::refusal::Refusal;
use crate::files::{File, new_file, remove_file};

/// Bytes before the samples: RIFF head, form, number of frames, head of the samples.
const HEAD: u32 = 12 + 26 + 12 + 8;
/// Bytes of a single.
const SINGLE: u64 = 4;

/// A file that a recording goes into.
pub struct Kept {
    path: PathBuf,
    out: BufWriter<File>,
    sample_rate_hz: u32,
    channels: usize,
    frames: u64,
}

impl Kept {
    /// Makes the file; one that is there already is not touched.
    pub fn create(path: &Path, sample_rate_hz: u32, channels: usize, seconds: f64) -> Result<Self, Refusal> {
        let bytes = seconds * f64::from(sample_rate_hz) * channels as f64 * SINGLE as f64;
        if bytes + f64::from(HEAD) >= f64::from(u32::MAX) {
            return Err(Refusal::new("keep-too-long", "a WAV file cannot hold so long a recording")
                .hint("record less, or without --keep"));
        }
        let file = new_file(path).map_err(|error| match error.kind() {
            io::ErrorKind::AlreadyExists => {
                Refusal::new("keep-exists", format!("{} is there already and was not touched", files::short_name(path)))
                    .at(files::shown(path))
                    .hint("name a file that is not there yet")
            }
            _ => cannot(path, &error),
        })?;
        let mut kept = Self { path: path.to_owned(), out: BufWriter::new(file), sample_rate_hz, channels, frames: 0 };
        kept.head().map_err(|error| cannot(path, &error))?;
        Ok(kept)
    }

    /// Appends samples of all channels.
    pub fn push(&mut self, planes: &[Vec<f32>]) -> io::Result<()> {
        let frames = planes.iter().map(Vec::len).min().unwrap_or(0);
        for frame in 0..frames {
            for plane in planes {
                self.out.write_all(&plane[frame].to_le_bytes())?;
            }
        }
        self.frames += frames as u64;
        Ok(())
    }

    /// Writes the true lengths. A file without a sample is taken away again.
    pub fn finish(mut self) -> Result<(), Refusal> {
        if self.frames == 0 {
            // What cannot be taken away is an empty recording, and harms nobody.
            let _left = remove_file(&self.path);
            return Ok(());
        }
        let path = self.path.clone();
        self.head()
            .and_then(|()| self.out.flush())
            .and_then(|()| self.out.get_ref().sync_all())
            .map_err(|error| cannot(&path, &error))
    }

    /// The head, with the lengths as they are now.
    fn head(&mut self) -> io::Result<()> {
        let frame = SINGLE * self.channels as u64;
        let fit = |bytes: u64| u32::try_from(bytes).unwrap_or(u32::MAX);
        let narrow = |bytes: u64| u16::try_from(bytes).unwrap_or(u16::MAX);
        let samples = fit(self.frames * frame);
        let mut head = Vec::with_capacity(HEAD as usize);
        head.extend_from_slice(b"RIFF");
        head.extend_from_slice(&samples.saturating_add(HEAD - 8).to_le_bytes());
        head.extend_from_slice(b"WAVEfmt ");
        head.extend_from_slice(&18_u32.to_le_bytes());
        head.extend_from_slice(&3_u16.to_le_bytes()); // singles
        head.extend_from_slice(&narrow(self.channels as u64).to_le_bytes());
        head.extend_from_slice(&self.sample_rate_hz.to_le_bytes());
        head.extend_from_slice(&fit(u64::from(self.sample_rate_hz) * frame).to_le_bytes());
        head.extend_from_slice(&narrow(frame).to_le_bytes());
        head.extend_from_slice(&32_u16.to_le_bytes());
        head.extend_from_slice(&0_u16.to_le_bytes());
        head.extend_from_slice(b"fact");
        head.extend_from_slice(&4_u32.to_le_bytes());
        head.extend_from_slice(&fit(self.frames).to_le_bytes());
        head.extend_from_slice(b"data");
        head.extend_from_slice(&samples.to_le_bytes());
        self.out.flush()?;
        self.out.seek(SeekFrom::Start(0))?;
        self.out.write_all(&head)
    }
}

fn cannot(path: &Path, error: &io::Error) -> Refusal {
    Refusal::new("cannot-write", format!("cannot write {}: {error}", files::short_name(path)))
        .at(files::shown(path))
        .hint("check that the folder exists, that you may write there and that the disk has room")
}

#[cfg(test)]
mod tests {
    use super::Kept;

    #[test]
    fn a_kept_recording_is_the_owners_and_reads_back_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("room.wav");
        let mut kept = Kept::create(&path, 48_000, 2, 60.0).unwrap();
        let plane: Vec<f32> = (0..24_000).map(|i| (i as f32 * 0.13).sin() * 0.1).collect();
        for part in plane.chunks(1000) {
            kept.push(&[part.to_vec(), part.iter().map(|x| -x).collect()]).unwrap();
        }
        kept.finish().unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        }
        let recording = crate::sound::open(Box::new(std::fs::File::open(&path).unwrap()), "room.wav").unwrap();
        let told = crate::sound::analyse(recording, &crate::sound::Settings::default(), &mut |_| ()).unwrap();
        assert_eq!((told.source.sample_rate_hz, told.source.channels), (48_000, 2));
        assert!((told.source.seconds - 0.5).abs() < 1e-9 && !told.warns("truncated"), "{:?}", told.quality.warnings);
        assert_eq!(Kept::create(&path, 48_000, 2, 60.0).err().unwrap().code, "keep-exists");
    }

    #[test]
    fn a_recording_of_nothing_leaves_no_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("room.wav");
        Kept::create(&path, 48_000, 1, 60.0).unwrap().finish().unwrap();
        assert!(!path.exists());
    }

    #[test]
    fn what_no_wav_can_hold_is_refused_before_anybody_waits() {
        let folder = tempfile::tempdir().unwrap();
        let refused = Kept::create(&folder.path().join("room.wav"), 384_000, 32, 7200.0).err().unwrap();
        assert_eq!(refused.code, "keep-too-long");
    }
}
