//! A sheet as SVG: its corner marks, dots and circles in one drawing in millimetres, so that nothing moves against anything.

use maud::{Markup, html};

use super::code::{DOT, cells};
use super::sheet::{DISC, HEIGHT, MARGIN, RADIUS, RING, Sheet, TICK, WIDTH, ticks};

/// The drawing. It is as large as it says: frame and margin in millimetres.
pub fn svg(sheet: &Sheet) -> Markup {
    let (wide, high) = (WIDTH + 2.0 * MARGIN, HEIGHT + 2.0 * MARGIN);
    let corners = [(0.0, 0.0), (WIDTH, 0.0), (0.0, HEIGHT), (WIDTH, HEIGHT)];
    let view = format!("{} {} {wide} {high}", -MARGIN, -MARGIN);
    html! {
        svg.marks xmlns="http://www.w3.org/2000/svg" width={ (wide) "mm" } height={ (high) "mm" } viewBox=(view) aria-hidden="true" {
            g fill="none" stroke="#000" stroke-width=(short(RING.0 - RING.1)) {
                @for (x, y) in corners { circle cx=(short(x)) cy=(short(y)) r=(short(f64::midpoint(RING.0, RING.1))) {} }
            }
            g fill="#000" {
                @for (x, y) in corners { circle cx=(short(x)) cy=(short(y)) r=(short(DISC)) {} }
                @for (x, y) in ticks() { circle cx=(short(x)) cy=(short(y)) r=(short(TICK)) {} }
                @for ((x, y), dot) in cells().zip(sheet.label.dots()) {
                    @if dot { circle cx=(short(x)) cy=(short(y)) r=(short(DOT)) {} }
                }
            }
            g fill="none" stroke="#444" stroke-width="0.25" {
                @for circle in &sheet.circles { circle cx=(short(circle.x)) cy=(short(circle.y)) r=(short(RADIUS)) {} }
            }
        }
    }
}

/// Millimetres to the hundredth, without needless digits.
fn short(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}
