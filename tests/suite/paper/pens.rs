//! How people fill circles: to and fro, crosses, crosses that miss, what is rubbed out.

use std::collections::BTreeMap;

use stillroom::paper::{Circle, Field, RADIUS, Sheet};

use super::render::{AT, Chance, Page, Pen, Shot};

/// Fills circles as people do; gives which.
pub(crate) fn fill(page: &mut Page, sheet: &Sheet, shot: &Shot, chance: &mut Chance) -> Vec<bool> {
    let mut filled = vec![false; sheet.circles.len()];
    let mut groups: BTreeMap<(u8, Field), Vec<usize>> = BTreeMap::new();
    for (at, circle) in sheet.circles.iter().enumerate() {
        groups.entry((circle.row, circle.field)).or_default().push(at);
    }
    let used: Vec<bool> = (0..=u8::MAX).map(|_| chance.chance(0.85)).collect();
    let crosses = chance.share();
    let hand = Hand::new(shot, chance);
    for ((row, field), circles) in groups {
        if !used[usize::from(row)] || chance.chance(0.1) {
            continue;
        }
        let most = if field.is_one_of() { 1 } else { 2 };
        let first = chance.below(circles.len());
        for step in 0..most {
            let at = circles[(first + step * 2) % circles.len()];
            filled[at] = true;
            hand.mark(page, &sheet.circles[at], chance.chance(crosses), chance.chance(shot.misses), 1.0, chance);
        }
        if shot.pen == Pen::Pencil && chance.chance(shot.rubbed) && circles.len() > 1 {
            let at = circles[(first + 1) % circles.len()];
            if !filled[at] {
                let left = chance.between(0.06, 0.22);
                hand.mark(page, &sheet.circles[at], chance.chance(crosses), false, left, chance);
            }
        }
    }
    filled
}

/// How somebody writes.
struct Hand {
    width: f64,
    reflects: f64,
    unsteady: f64,
    scale: f64,
    dense: f64,
}

impl Hand {
    fn new(shot: &Shot, chance: &mut Chance) -> Self {
        let (width, reflects) = match shot.pen {
            Pen::Ballpoint => (chance.between(0.4, 0.6), chance.between(0.08, 0.28)),
            Pen::Felt => (chance.between(0.7, 1.3), chance.between(0.06, 0.2)),
            Pen::Pencil => (chance.between(0.5, 0.8), chance.between(0.25, 0.42)),
        };
        let dense = chance.between(1.0, 2.0);
        Self { width: width / shot.scale, reflects, unsteady: chance.between(0.15, 0.4), scale: shot.scale, dense }
    }

    /// Fills or crosses a circle. `left` is what is left of the ink, 1 for all of it.
    fn mark(&self, page: &mut Page, circle: &Circle, cross: bool, miss: bool, left: f64, chance: &mut Chance) {
        let reflects = 1.0 - (1.0 - self.reflects) * left;
        let off = if miss && cross { chance.between(0.8, 1.5) } else { self.unsteady * chance.normal().abs().min(2.0) };
        let (sin, cos) = chance.between(0.0, std::f64::consts::TAU).sin_cos();
        let (x, y) = (AT.0 + circle.x + off * cos / self.scale, AT.1 + circle.y + off * sin / self.scale);
        if cross {
            let half = chance.between(1.5, 2.5) / self.scale;
            for base in [45.0, 135.0] {
                let (sin, cos) = (base + chance.between(-15.0, 15.0)).to_radians().sin_cos();
                let (a, b) = (half * chance.between(0.85, 1.15), half * chance.between(0.85, 1.15));
                page.stroke((x - a * cos, y - a * sin), (x + b * cos, y + b * sin), self.width, reflects);
            }
            return;
        }
        // To and fro, as far as the circle reaches there.
        let (sin, cos) = chance.between(0.0, std::f64::consts::PI).sin_cos();
        let reach = RADIUS * chance.between(0.75, 1.05);
        let step = self.width * self.dense * 0.7;
        let mut across = -reach + self.width / 2.0;
        let mut last: Option<(f64, f64)> = None;
        let mut side = 1.0;
        while across < reach - self.width / 3.0 {
            let long = (reach * reach - across * across).max(0.0).sqrt() * chance.between(0.85, 1.05);
            let point = |along: f64| (x + along * cos - across * sin, y + along * sin + across * cos);
            let (from, to) = (point(-side * long), point(side * long));
            if let Some(last) = last {
                page.stroke(last, from, self.width, reflects);
            }
            page.stroke(from, to, self.width, reflects);
            last = Some(to);
            side = -side;
            across += step * chance.between(0.8, 1.2);
        }
    }
}
