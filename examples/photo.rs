//! Scores how busy a photo looks and says where, from Rust.
//!
//! `cargo run --example photo -- corner.jpg`

use std::error::Error;

use stillroom::load::Scale;
use stillroom::photo::{Measured, measure, pull};

/// `busyness` goes from 0 to 100 and is a convention; places are in fractions of the picture, 0 to 1.
pub(crate) fn told(photo: &Measured) -> String {
    let mut lines = vec![format!(
        "busyness {:.0} of 100 (a retake scatters by {:.1}), {} × {} pixels",
        photo.busyness, photo.busyness_sd, photo.width, photo.height
    )];
    if let Some(pull) = pull(photo.busyness, Scale::shipped().photo_alone()) {
        lines.push(format!("pull {:.3}: it would make a load of {:.0} alone", pull.u(), pull.load().points()));
    }
    lines.extend(photo.busy_places.iter().map(|place| {
        format!("busy from {:.2} to {:.2} across: {:.0} % of it", place.x, place.x + place.width, place.share * 100.0)
    }));
    lines.extend(photo.warnings.iter().map(|warning| format!("mind: {}", warning.code())));
    lines.join("\n")
}

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args().nth(1).ok_or("name a photo")?;
    let photo = measure(&std::fs::read(&file)?)?;
    #[expect(clippy::print_stdout, reason = "an example prints what it found")]
    {
        println!("{}", told(&photo));
    }
    Ok(())
}
