//! Busy places: where the picture is busiest. Nothing here predicts where anybody looks.
//!
//! `g` is the gradient of the smoothed Lab, held at 30. Tiles 16 × 12 (12 × 16 when higher than wide), pixel x in tile
//! `⌊x·n/w⌋`. The 3×3-tile window with the largest sum among those none of whose tiles is taken (ties: top, then left) is
//! taken until there are five or its mean per pixel is below `max(1.5·mean(g), 1)`. All numbers: convention.

use super::plane::Plane;

/// A part of a photo where the picture is busiest, in fractions of its width and height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BusyPlace {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Its part of all the contrast in the picture.
    pub share: f64,
}

const HELD: f32 = 30.0;
const LONG_TILES: usize = 16;
const SHORT_TILES: usize = 12;
const WINDOW: usize = 3;
const MOST: usize = 5;
const ABOVE_MEAN: f64 = 1.5;
const LEAST: f64 = 1.0;

/// The busy places of a picture whose gradient is given, the busiest first.
pub(super) fn busy_places(gradient: &Plane) -> Vec<BusyPlace> {
    let (width, height) = (gradient.width(), gradient.height());
    let (across, down) = if height > width { (SHORT_TILES, LONG_TILES) } else { (LONG_TILES, SHORT_TILES) };
    let mut sums = vec![0.0f64; across * down];
    let mut counts = vec![0usize; across * down];
    for y in 0..height {
        let tiles = (y * down / height) * across;
        for (x, &g) in gradient.row(y).iter().enumerate() {
            let tile = tiles + x * across / width;
            sums[tile] += f64::from(g.min(HELD));
            counts[tile] += 1;
        }
    }
    let total: f64 = sums.iter().sum();
    let floor = (ABOVE_MEAN * total / (width * height).max(1) as f64).max(LEAST);
    let mut taken = vec![false; across * down];
    let mut places = Vec::new();
    while places.len() < MOST {
        let mut best: Option<(f64, usize, usize)> = None;
        for top in 0..=down - WINDOW {
            for left in 0..=across - WINDOW {
                let tiles = || window(top, left, across);
                if tiles().any(|tile| taken[tile]) {
                    continue;
                }
                let sum: f64 = tiles().map(|tile| sums[tile]).sum();
                if best.is_none_or(|(most, ..)| sum > most) {
                    best = Some((sum, top, left));
                }
            }
        }
        let Some((sum, top, left)) = best else { break };
        let pixels: usize = window(top, left, across).map(|tile| counts[tile]).sum();
        if pixels == 0 || sum / (pixels as f64) < floor {
            break;
        }
        window(top, left, across).for_each(|tile| taken[tile] = true);
        places.push(BusyPlace {
            x: left as f64 / across as f64,
            y: top as f64 / down as f64,
            width: WINDOW as f64 / across as f64,
            height: WINDOW as f64 / down as f64,
            share: sum / total,
        });
    }
    places
}

fn window(top: usize, left: usize, across: usize) -> impl Iterator<Item = usize> {
    (top..top + WINDOW).flat_map(move |row| (left..left + WINDOW).map(move |column| row * across + column))
}

#[cfg(test)]
mod tests {
    use super::busy_places;
    use crate::photo::plane::Plane;

    #[test]
    fn an_evenly_busy_picture_has_no_busy_place() {
        assert!(busy_places(&Plane::new(64, vec![12.0; 64 * 48])).is_empty());
        assert!(busy_places(&Plane::new(64, vec![0.0; 64 * 48])).is_empty());
    }

    #[test]
    fn one_lively_corner_is_found_and_holds_all_the_share() {
        let mut g = vec![0.0f32; 64 * 48];
        for y in 0..8 {
            for x in 52..64 {
                g[y * 64 + x] = 20.0;
            }
        }
        let places = busy_places(&Plane::new(64, g));
        assert_eq!(places.len(), 1);
        assert!((places[0].x - 13.0 / 16.0).abs() < 1e-12 && places[0].y.abs() < 1e-12);
        assert!((places[0].share - 1.0).abs() < 1e-12);
    }

    #[test]
    fn an_upright_picture_has_upright_tiles() {
        let mut g = vec![0.0f32; 48 * 64];
        g[..48 * 4].fill(20.0);
        let places = busy_places(&Plane::new(48, g));
        assert!((places[0].width - 0.25).abs() < 1e-12 && (places[0].height - 3.0 / 16.0).abs() < 1e-12);
    }
}
