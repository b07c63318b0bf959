//! What is drawn while a recording runs: one line, or a water line with a pebble when there is a target.
//!
//! The words come first (below, at, over), then the picture; no colour carries anything. Lines are drawn over each
//! other with two control signs, and only where someone is watching.

use std::io::Write;

use crate::quantity::Decibels;
use crate::sound::{BandLevel, LiveFigures};
use crate::tasks::aim::{Aim, Stand};

/// Cells of the water line, and the place of the pebble on it.
const WATER: usize = 33;
const PEBBLE: usize = 16;
/// More than this away from the water line the pebble lies in the outer row, dB.
const FAR_DB: f64 = 5.0;
/// Decibels from the lowest to the highest bar.
const BARS_DB: f64 = 40.0;
/// Bars from low to high.
const BARS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// How levels are shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shown {
    /// Added to dBFS.
    pub(super) shift: f64,
    /// `dB` or `dBFS`.
    pub(super) unit: &'static str,
    /// The target, if there is one.
    pub(super) aim: Option<Aim>,
}

/// The lines for figures now, with so many seconds to go.
pub(super) fn lines(figures: &LiveFigures, left_s: f64, shown: &Shown) -> Vec<String> {
    let level = |level: Option<Decibels>| level.map(|level| level.db() + shown.shift);
    let number = |level: Option<f64>| level.map_or_else(|| "–".to_owned(), |db| format!("{db:.1}"));
    let rest = format!("LAeq {} · {} · {} left", number(level(figures.laeq)), bars(&figures.octaves), clock(left_s));
    let Some(aim) = &shown.aim else {
        return vec![format!("{} {} now · {rest}", number(level(figures.now)), shown.unit)];
    };
    let Some(db) = level(figures.second) else {
        let mut lines = vec![format!("no sound yet · {rest}")];
        lines.extend(water(None));
        return lines;
    };
    let stand = aim.stand(db);
    let mut lines = vec![format!("{} · {rest}", words(stand, db, aim))];
    lines.extend(water(Some(db - aim.target_db)));
    lines
}

/// The words about a level beside its target.
fn words(stand: Stand, db: f64, aim: &Aim) -> String {
    let off = (db - aim.target_db).abs();
    match (aim.voice, stand) {
        (false, Stand::At) => format!("at: {db:.1} dB for {:.0} dB", aim.target_db),
        (false, _) => format!("{}: {db:.1} dB, {off:.1} {} {:.0} dB", stand.word(), stand.word(), aim.target_db),
        (true, Stand::Below) => format!("below: {off:.1} dB quieter than the voice"),
        (true, Stand::At) => "at: as loud as the voice".to_owned(),
        (true, Stand::Over) => format!("over: {off:.1} dB louder than the voice"),
    }
}

/// Five rows: the pebble above, on or under the water line, farther off when it is more than 5 dB away.
fn water(difference_db: Option<f64>) -> [String; 5] {
    let row = difference_db.map(|difference| match difference {
        far if far > FAR_DB => 0,
        over if over > 1.0 => 1,
        at if at >= -1.0 => 2,
        below if below >= -FAR_DB => 3,
        _ => 4,
    });
    std::array::from_fn(|at| {
        let fill = if at == 2 { '~' } else { ' ' };
        let mut line: String = std::iter::repeat_n(fill, WATER).collect();
        if row == Some(at) {
            line.replace_range(PEBBLE..=PEBBLE, "●");
        }
        line.trim_end().to_owned()
    })
}

/// Octaves as bars, low to high, the strongest at the top.
fn bars(octaves: &[BandLevel]) -> String {
    let Some(top) = octaves.iter().map(|band| band.level.db()).reduce(f64::max) else { return "no bands".to_owned() };
    let bars = octaves.iter().map(|band| {
        let share = 1.0 + (band.level.db() - top) / BARS_DB;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0 to 7")]
        let place = (share.clamp(0.0, 1.0) * 7.0).round() as usize;
        BARS[place]
    });
    let label = |band: Option<&BandLevel>| band.map_or_else(String::new, |band| crate::sound::label(band.hz));
    format!("{} {} {} Hz", label(octaves.first()), bars.collect::<String>(), label(octaves.last()))
}

/// Minutes and seconds, `0:42`.
fn clock(seconds: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float cast saturates, and it is not negative"
    )]
    let seconds = seconds.max(0.0).ceil() as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// Lines that are drawn over each other.
#[derive(Debug, Default)]
pub(super) struct Screen {
    drawn: usize,
}

impl Screen {
    /// Draws over what was drawn before. What cannot be drawn is not worth failing for.
    pub(super) fn draw(&mut self, lines: &[String], out: &mut dyn Write) {
        let mut text = self.back();
        for line in lines {
            text.push_str(&format!("\u{1b}[2K{line}\n"));
        }
        self.drawn = lines.len();
        let _unseen = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    }

    /// Takes everything away again.
    pub(super) fn clear(&mut self, out: &mut dyn Write) {
        if self.drawn > 0 {
            let text = format!("{}\u{1b}[J", self.back());
            let _unseen = out.write_all(text.as_bytes()).and_then(|()| out.flush());
            self.drawn = 0;
        }
    }

    /// To the start of the first line that was drawn.
    fn back(&self) -> String {
        if self.drawn == 0 { String::new() } else { format!("\r\u{1b}[{}A", self.drawn) }
    }
}

#[cfg(test)]
mod tests {
    use super::{Screen, Shown, lines};
    use crate::quantity::Decibels;
    use crate::sound::{BandLevel, LiveFigures};
    use crate::tasks::aim::Aim;

    /// The narrowest terminal that is still common; a line that breaks could not be drawn over.
    const NARROW: usize = 80;

    fn figures(second: f64) -> LiveFigures {
        let level = |db: f64| Some(Decibels::new(db - 96.5));
        LiveFigures {
            seconds: 18.0,
            now: level(second + 0.4),
            second: level(second),
            laeq: level(44.0),
            octaves: [63.0, 1000.0, 8000.0]
                .map(|hz| BandLevel { hz, level: Decibels::new(-60.0 - hz / 400.0) })
                .to_vec(),
        }
    }

    fn shown(aim: Option<Aim>) -> Shown {
        Shown { shift: 96.5, unit: "dB", aim }
    }

    #[test]
    fn one_line_says_the_level_now_so_far_the_bands_and_the_time_left() {
        let drawn = lines(&figures(45.0), 41.2, &shown(None));
        assert_eq!(drawn, ["45.4 dB now · LAeq 44.0 · 63 ██▅ 8k Hz · 0:42 left"]);
    }

    #[test]
    fn with_a_target_the_words_come_first_and_the_pebble_lies_where_they_say() {
        let aim = Aim::level(50.0, Some(1.5)).unwrap();
        for (level, words, row) in [
            (58.0, "over: 58.0 dB, 8.0 over 50 dB", 1),
            (52.0, "over: 52.0 dB, 2.0 over 50 dB", 2),
            (50.6, "at: 50.6 dB for 50 dB", 3),
            (47.0, "below: 47.0 dB, 3.0 below 50 dB", 4),
            (40.0, "below: 40.0 dB, 10.0 below 50 dB", 5),
        ] {
            let drawn = lines(&figures(level), 600.0, &shown(Some(aim)));
            assert!(drawn[0].starts_with(words), "{}", drawn[0]);
            assert_eq!(drawn.iter().position(|line| line.contains('●')), Some(row), "{drawn:#?}");
            assert!(drawn[3].starts_with("~~~"));
            assert!(drawn.iter().all(|line| line.chars().count() < NARROW), "{drawn:#?}");
        }
    }

    #[test]
    fn without_a_calibration_only_the_voice_is_named() {
        let aim = Aim::voice(50.0, None);
        let first = |level: f64| lines(&figures(level), 5.0, &shown(Some(aim)))[0].clone();
        assert!(first(44.0).starts_with("below: 6.0 dB quieter than the voice"));
        assert!(first(50.0).starts_with("at: as loud as the voice"));
        assert!(first(53.0).starts_with("over: 3.0 dB louder than the voice"));
    }

    #[test]
    fn silence_is_said_and_no_pebble_is_drawn() {
        let aim = Aim::level(50.0, Some(1.5)).unwrap();
        let drawn = lines(&LiveFigures::default(), 5.0, &shown(Some(aim)));
        assert!(drawn[0].starts_with("no sound yet") && !drawn.concat().contains('●'), "{drawn:#?}");
    }

    #[test]
    fn lines_are_drawn_over_each_other_and_taken_away() {
        let mut screen = Screen::default();
        let mut out = Vec::new();
        screen.draw(&["a".to_owned(), "b".to_owned()], &mut out);
        screen.draw(&["c".to_owned(), "d".to_owned()], &mut out);
        screen.clear(&mut out);
        screen.clear(&mut out);
        let text = String::from_utf8(out).unwrap();
        assert_eq!(text, "\u{1b}[2Ka\n\u{1b}[2Kb\n\r\u{1b}[2A\u{1b}[2Kc\n\u{1b}[2Kd\n\r\u{1b}[2A\u{1b}[J");
    }
}
