//! Photos: read, measured, put together, compared, and mapped. Nothing of them is kept.

use std::io::Read;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};

use crate::checklist::Checklist;
use crate::contract::{
    BusyPlaceDoc, MeasuresDoc, NoteDoc, PhotoCompareDoc, PhotoDoc, PhotoQualityDoc, PhotoSourceDoc, PhotosDoc,
    SharedViewDoc,
};
use crate::load::Scale;
use crate::photo::{self, Measured};
use crate::words::Surface;

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

/// Reads and measures photos, two at a time, and gives them in the order named.
///
/// More at once would hold more decoded pictures in memory than a small laptop has to spare.
pub fn photos(
    paths: &[PathBuf],
    stdin: &mut dyn Read,
    progress: &mut dyn FnMut(f64),
) -> Result<Vec<MeasuredPhoto>, Refusal> {
    let mut measured = Vec::with_capacity(paths.len());
    for pair in paths.chunks(2) {
        let read = pair.iter().map(|path| read_bytes(path, PHOTO_LIMIT, stdin)).collect::<Result<Vec<_>, _>>()?;
        let both = std::thread::scope(|scope| {
            let threads: Vec<_> = read.iter().map(|bytes| scope.spawn(|| photo(bytes))).collect();
            let measured = threads.into_iter().map(|thread| thread.join().unwrap_or_else(|fault| resume_unwind(fault)));
            measured.collect::<Vec<_>>()
        });
        for one in both {
            measured.push(one?);
        }
        progress(measured.len() as f64 / paths.len() as f64);
    }
    Ok(measured)
}

/// Names beside each busy place the items of a checklist that could explain it: those a photo sees, on the surfaces that
/// lie there in a photo taken at a seated child's eye height. A guess to look at, not a finding.
pub fn explain(photo: &mut MeasuredPhoto, list: &Checklist) {
    for place in &mut photo.doc.busy_places {
        let surfaces = surfaces_at(place.y + place.height / 2.0);
        let could_be = list.items.iter().filter(|item| item.in_photo && surfaces.contains(&item.surface));
        place.could_be = could_be.map(|item| item.id.to_string()).collect();
    }
}

/// Marks the busy place of that number, from 1, as what must stay.
pub fn mark_stays(photo: &mut MeasuredPhoto, number: usize) -> Result<(), Refusal> {
    let places = photo.doc.busy_places.len();
    let place = number.checked_sub(1).and_then(|index| photo.doc.busy_places.get_mut(index));
    let place = place.ok_or_else(|| {
        Refusal::new("no-such-place", format!("{} has no busy place {number}", photo.doc.photo.name))
            .hint(format!("run it without --stays first; it has {places}"))
    })?;
    place.stays = true;
    Ok(())
}

/// What lies at a height of the picture, 0 at its top: walls above, table and floor below, either around the middle.
fn surfaces_at(height: f64) -> &'static [Surface] {
    match height {
        height if height < 0.45 => &[Surface::Wall],
        height if height < 0.6 => &[Surface::Wall, Surface::Table, Surface::Floor],
        _ => &[Surface::Table, Surface::Floor],
    }
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
                could_be: Vec::new(),
                stays: false,
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
    let stays: Vec<usize> =
        photo.doc.busy_places.iter().zip(1..).filter(|(place, _)| place.stays).map(|(_, number)| number).collect();
    photo::map(&photo.measured, &stays).map_err(|refusal| refused(&refusal, &photo.doc.photo.name))
}

/// The photo reduced and without any metadata, as JPEG, for a report.
pub fn reduced(photo: &MeasuredPhoto) -> Result<Vec<u8>, Refusal> {
    photo.measured.pixels().jpeg().map_err(|refusal| refused(&refusal, &photo.doc.photo.name))
}

fn refused(refusal: &photo::Refusal, name: &str) -> Refusal {
    Refusal::new(refusal.code(), format!("{name}: {refusal}")).at(name).hint(refusal.hint())
}
