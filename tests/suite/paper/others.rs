//! Pictures of other things.

use super::render::{Chance, Page, Shot};

/// Pictures that are no sheet: other forms with circles and rings, boards, dots, stripes, noise, rooms of boxes.
pub(crate) fn other(seed: u64) -> Vec<u8> {
    let chance = &mut Chance::new(seed ^ 0x07E4);
    let mut page = Page::blank();
    let kind = seed % 6;
    for at in 0..chance.below(140) + 12 {
        let (x, y) = (chance.between(15.0, 195.0), chance.between(15.0, 280.0));
        let size = chance.between(1.0, 9.0);
        match kind {
            0 => page.ring((x, y), size, size * 0.3, 0.05),
            // A ring around a disc, as ours, wherever chance puts it.
            1 => {
                page.ring((x, y), 4.5, 1.4, 0.05);
                page.stroke((x, y), (x + 0.01, y), 3.6, 0.05);
            }
            2 => page.stroke((x, y), (x + size, y + chance.between(-9.0, 9.0)), chance.between(0.3, 3.0), 0.1),
            // A grid of dots.
            3 => {
                let (column, row) = ((at % 14) as f64, (at / 14) as f64);
                page.stroke(
                    (20.0 + 13.0 * column, 20.0 + 13.0 * row),
                    (20.1 + 13.0 * column, 20.0 + 13.0 * row),
                    size,
                    0.1,
                );
            }
            // Four corners like ours, and no dots.
            4 => {
                let corner = [(21.0, 26.0), (189.0, 26.0), (21.0, 258.0), (189.0, 258.0)][at % 4];
                page.ring(corner, 4.5, 1.4, 0.05);
                page.stroke(corner, (corner.0 + 0.01, corner.1), 3.6, 0.05);
                page.stroke((x, y), (x + size, y), size, 0.1);
            }
            _ => {
                page.stroke((x, y), (chance.between(10.0, 200.0), y + size), chance.between(2.0, 25.0), chance.share())
            }
        }
    }
    let shot = Shot { long: 1000, ..Shot::of_seed(seed) };
    shot.photographed(&[(&page, (0.0, 0.0))], chance)
}
