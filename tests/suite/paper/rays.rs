//! The camera over a page that is curled and creased.

use super::render::{PAGE, Shot};

/// The camera: rays from the picture to the page, which is curled and creased.
pub(crate) struct Rays<'a> {
    shot: &'a Shot,
    eye: [f64; 3],
    right: [f64; 3],
    down: [f64; 3],
    forward: [f64; 3],
    centre: (f64, f64),
    focal: f64,
}

impl<'a> Rays<'a> {
    pub(crate) fn new(shot: &'a Shot, width: usize, height: usize) -> Self {
        let (tilt, towards, turn) = (shot.tilt.to_radians(), shot.towards.to_radians(), shot.turn.to_radians());
        let away = [tilt.sin() * towards.cos(), tilt.sin() * towards.sin(), tilt.cos()];
        let forward = away.map(|v| -v);
        // "Right" of the picture before it is turned about its axis: along x of the page, made square to the view.
        let along = forward[0];
        let raw = [1.0 - forward[0] * along, -forward[1] * along, -forward[2] * along];
        let length = raw.iter().map(|v| v * v).sum::<f64>().sqrt();
        let right = raw.map(|v| v / length);
        // Page: x right, y down, z towards the camera.
        let down = [
            -(forward[1] * right[2] - forward[2] * right[1]),
            -(forward[2] * right[0] - forward[0] * right[2]),
            -(forward[0] * right[1] - forward[1] * right[0]),
        ];
        let (sin, cos) = turn.sin_cos();
        let mix = |a: f64, b: f64| [0, 1, 2].map(|i| a * right[i] + b * down[i]);
        let distance = 420.0 * shot.far;
        let focal = 420.0 * (height.max(width) as f64) / (PAGE.1 * 1.12);
        let look = [PAGE.0 / 2.0, PAGE.1 / 2.0, 0.0];
        Self {
            shot,
            eye: [0, 1, 2].map(|i| look[i] + away[i] * distance),
            right: mix(cos, sin),
            down: mix(-sin, cos),
            forward,
            centre: (width as f64 / 2.0, height as f64 / 2.0),
            focal,
        }
    }

    /// Height of the paper over the table, and how light its slope is.
    fn paper(&self, x: f64, y: f64) -> (f64, f64) {
        let shot = self.shot;
        let along = if shot.curled_across { x / PAGE.0 } else { y / PAGE.1 };
        let curl = 4.0 * shot.curl * along * (1.0 - along);
        let slope = 4.0 * shot.curl * (1.0 - 2.0 * along) / if shot.curled_across { PAGE.0 } else { PAGE.1 };
        let (down, of) = if shot.curled_across { (x, PAGE.0) } else { (y, PAGE.1) };
        let off = (down - shot.crease_at * of) / of;
        let fold = shot.crease * (1.0 - 2.0 * off.abs());
        let side = if shot.crease == 0.0 { 0.0 } else { 0.05 * off.signum() * shot.crease.abs() / 3.0 };
        let line = if shot.crease != 0.0 && (off * of).abs() < 0.35 { -0.22 } else { 0.0 };
        (curl + fold, 1.0 - 0.8 * slope + side + line)
    }

    pub(crate) fn hit(&self, column: f64, row: f64) -> (f64, f64, f64) {
        let (u, v) = ((column - self.centre.0) / self.focal, (row - self.centre.1) / self.focal);
        let ray = [0, 1, 2].map(|i| self.forward[i] + u * self.right[i] + v * self.down[i]);
        let mut height = 0.0;
        let mut found = (0.0, 0.0, 1.0);
        for _ in 0..4 {
            let step = (height - self.eye[2]) / ray[2];
            let (x, y) = (self.eye[0] + step * ray[0], self.eye[1] + step * ray[1]);
            let inside = (0.0..=PAGE.0).contains(&x) && (0.0..=PAGE.1).contains(&y);
            let (up, shade) = if inside { self.paper(x, y) } else { (0.0, 1.0) };
            height = up;
            found = (x, y, shade);
        }
        found
    }
}
