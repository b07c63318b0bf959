//! Photos: read, measured, put together, compared, and mapped. Nothing of them is kept.

use std::io::Read;
use std::path::{Path, PathBuf};

use crate::contract::{
    BusyPlaceDoc, MeasuresDoc, NoteDoc, PhotoCompareDoc, PhotoDoc, PhotoQualityDoc, PhotoSourceDoc, PhotosDoc,
    SharedViewDoc,
};
use crate::load::Scale;
use crate::photo::{self, Measured};

use super::files::{Named, PHOTO_LIMIT, read_bytes};
use super::refusal::Refusal;

/// A measured photo with its document.
#[derive(Clone, Debug)]
pub struct MeasuredPhoto {
    /// As programs read it.
    pub doc: PhotoDoc,
    /// As the photo room gave it.
    pub measured: Measured,
}

/// Reads and measures photos, in the order given.
pub fn photos(
    paths: &[PathBuf],
    stdin: &mut dyn Read,
    progress: &mut dyn FnMut(f64),
) -> Result<Vec<MeasuredPhoto>, Refusal> {
    let mut measured = Vec::with_capacity(paths.len());
    for (done, path) in paths.iter().enumerate() {
        measured.push(photo(&read_bytes(path, PHOTO_LIMIT, stdin)?)?);
        progress((done + 1) as f64 / paths.len() as f64);
    }
    Ok(measured)
}

/// Measures one photo from its bytes.
pub fn photo(bytes: &Named<Vec<u8>>) -> Result<MeasuredPhoto, Refusal> {
    let measured = photo::measure(&bytes.content).map_err(|refusal| refused(&refusal, &bytes.name))?;
    let alone = Scale::shipped().photo_alone();
    let measures = &measured.measures;
    let doc = PhotoDoc {
        photo: PhotoSourceDoc { name: bytes.name.clone(), width: measured.width, height: measured.height },
        measures: MeasuresDoc {
            edge_share: measures.edge_share,
            variability: measures.variability,
            components: u32::try_from(measures.components).unwrap_or(u32::MAX),
            chroma_share: measures.chroma_share,
            colourfulness: measures.colourfulness,
            clutter: measures.clutter,
            colour: measures.colour,
        },
        busyness: measured.busyness,
        busyness_sd: measured.busyness_sd,
        busy_places: measured
            .busy_places
            .iter()
            .map(|place| BusyPlaceDoc {
                x: place.x,
                y: place.y,
                width: place.width,
                height: place.height,
                share: place.share,
            })
            .collect(),
        quality: PhotoQualityDoc {
            warnings: measured.warnings.iter().map(|warning| NoteDoc::new(warning.code(), warning.text())).collect(),
        },
        pull: photo::pull(measured.busyness, alone).map_or(0.0, |pull| pull.u()),
    };
    Ok(MeasuredPhoto { doc, measured })
}

/// Several photos of one place.
pub fn together(photos: &[MeasuredPhoto]) -> PhotosDoc {
    let busyness: Vec<f64> = photos.iter().map(|photo| photo.doc.busyness).collect();
    let together = photo::together(&busyness, Scale::shipped().photo_alone());
    PhotosDoc {
        photos: photos.iter().map(|photo| photo.doc.clone()).collect(),
        busyness: together.as_ref().map_or(0.0, |all| all.busyness),
        spread: together.as_ref().map_or(0.0, |all| all.spread),
        pull: together.as_ref().map_or(0.0, |all| all.pull.u()),
    }
}

/// Whether the second photo is less busy than the first.
pub fn compare(before: &Path, after: &Path, stdin: &mut dyn Read) -> Result<PhotoCompareDoc, Refusal> {
    let first = photo(&read_bytes(before, PHOTO_LIMIT, stdin)?)?;
    let second = photo(&read_bytes(after, PHOTO_LIMIT, stdin)?)?;
    let names = format!("{} and {}", first.doc.photo.name, second.doc.photo.name);
    let found = photo::compare(&first.measured, &second.measured).map_err(|refusal| refused(&refusal, &names))?;
    Ok(PhotoCompareDoc {
        busyness_before: found.before,
        busyness_after: found.after,
        difference: found.difference,
        low: found.low,
        high: found.high,
        verdict: found.verdict.words().to_owned(),
        shared_view: found.shared_view.map(|view| SharedViewDoc {
            before: view.before,
            after: view.after,
            difference: view.difference,
        }),
        warnings: found.cautions.iter().map(|caution| NoteDoc::new(caution.code(), caution.text())).collect(),
    })
}

/// The photo dimmed, its busy places outlined, as PNG.
pub fn map(photo: &MeasuredPhoto) -> Result<Vec<u8>, Refusal> {
    photo::map(&photo.measured).map_err(|refusal| refused(&refusal, &photo.doc.photo.name))
}

/// The photo reduced and without any metadata, as JPEG, for a report.
pub fn reduced(photo: &MeasuredPhoto) -> Result<Vec<u8>, Refusal> {
    photo.measured.pixels().jpeg().map_err(|refusal| refused(&refusal, &photo.doc.photo.name))
}

fn refused(refusal: &photo::Refusal, name: &str) -> Refusal {
    Refusal::new(refusal.code(), format!("{name}: {refusal}")).at(name).hint(refusal.hint())
}
