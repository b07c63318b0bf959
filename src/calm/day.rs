//! A day in blocks of five minutes, and its windows of twenty.
//!
//! The level of a window is its rating level, as in the load of a room: the energy mean of its blocks' LAeq, plus `speech_db`
//! times the share of speech-like sound. A window counts only where all of its blocks were heard for at least half their
//! length. Blocks stand on the clock, so that the same block of two days is the same time of day.

use crate::quantity::Decibels;

/// Length of a block, minutes. Convention.
pub const BLOCK_MINUTES: usize = 5;
/// Blocks of a day.
pub const BLOCKS: usize = 24 * 60 / BLOCK_MINUTES;
/// Blocks of a window: twenty minutes, a learning time with what belongs to it. Convention.
pub const WINDOW_BLOCKS: usize = 4;
/// A block that was heard for less than this is left out, seconds. Convention.
pub const LEAST_SECONDS: f64 = 150.0;

/// What was heard in five minutes. Levels are in dB, or in dBFS where nothing calibrated them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// How much of it was heard, seconds.
    pub seconds: f64,
    /// Its A-weighted equivalent level.
    pub laeq: Decibels,
    /// Its background, exceeded nine tenths of the time.
    pub la90: Decibels,
    /// Its greatest level, F.
    pub lafmax: Decibels,
    /// Loud events that began in it.
    pub events: u32,
    /// Share of it with speech-like or rhythmic fluctuation, 0 to 1.
    pub speech_share: f64,
}

/// A day's blocks by the clock.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    blocks: Vec<Option<Block>>,
}

impl Default for Day {
    fn default() -> Self {
        Self { blocks: vec![None; BLOCKS] }
    }
}

/// What an hour, or any stretch of a day, sounded like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// How much of it was heard, minutes.
    pub minutes: f64,
    /// Its A-weighted equivalent level.
    pub laeq: Decibels,
    /// The least background of its blocks.
    pub la90: Decibels,
    /// Loud events an hour.
    pub events_per_hour: f64,
    /// Share of speech-like or rhythmic fluctuation, 0 to 1.
    pub speech_share: f64,
}

impl Stretch {
    /// The rating level: LAeq plus `speech_db` times the speech-like share.
    pub fn rating_db(&self, speech_db: f64) -> f64 {
        self.laeq.db() + speech_db * self.speech_share
    }
}

impl Day {
    /// Puts a block in its place; `false` where one is already there (it stays) or the place is none.
    pub fn put(&mut self, at: usize, block: Block) -> bool {
        match self.blocks.get_mut(at) {
            Some(free @ None) => {
                *free = Some(block);
                true
            }
            _ => false,
        }
    }

    /// Puts a block in its place, or leaves the one that is there where that was heard for longer.
    pub fn put_longer(&mut self, at: usize, block: Block) {
        if let Some(place) = self.blocks.get_mut(at)
            && place.is_none_or(|there| there.seconds < block.seconds)
        {
            *place = Some(block);
        }
    }

    /// The blocks by the clock.
    pub fn blocks(&self) -> &[Option<Block>] {
        &self.blocks
    }

    /// How many blocks were heard.
    pub fn heard(&self) -> usize {
        self.blocks.iter().flatten().count()
    }

    /// What the blocks from `at` on sounded like together; `None` where nothing of them was heard.
    pub fn stretch(&self, at: usize, blocks: usize) -> Option<Stretch> {
        let heard: Vec<&Block> = self.blocks.iter().skip(at).take(blocks).flatten().collect();
        let seconds: f64 = heard.iter().map(|block| block.seconds).sum();
        if seconds <= 0.0 {
            return None;
        }
        let power = heard.iter().map(|block| block.seconds * block.laeq.power()).sum::<f64>() / seconds;
        Some(Stretch {
            minutes: seconds / 60.0,
            laeq: Decibels::from_power(power)?,
            la90: Decibels::new(heard.iter().map(|block| block.la90.db()).fold(f64::INFINITY, f64::min)),
            events_per_hour: heard.iter().map(|block| f64::from(block.events)).sum::<f64>() * 3600.0 / seconds,
            speech_share: heard.iter().map(|block| block.seconds * block.speech_share).sum::<f64>() / seconds,
        })
    }

    /// The window that begins with block `at`; `None` unless all of it was heard.
    pub fn window(&self, at: usize) -> Option<Stretch> {
        let all = self.blocks.get(at..at + WINDOW_BLOCKS)?;
        let whole = all.iter().all(|block| block.is_some_and(|block| block.seconds >= LEAST_SECONDS));
        if whole { self.stretch(at, WINDOW_BLOCKS) } else { None }
    }

    /// The rating level of every window, by the block it begins with.
    pub fn windows(&self, speech_db: f64) -> Vec<Option<f64>> {
        (0..BLOCKS).map(|at| Some(self.window(at)?.rating_db(speech_db))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::{BLOCKS, Block, Day};
    use crate::quantity::Decibels;

    fn block(laeq: f64, speech_share: f64) -> Block {
        let level = Decibels::new;
        Block {
            seconds: 300.0,
            laeq: level(laeq),
            la90: level(laeq - 5.0),
            lafmax: level(laeq + 9.0),
            events: 1,
            speech_share,
        }
    }

    #[test]
    fn a_window_is_the_energy_mean_of_its_blocks_and_speech_counts() {
        let mut day = Day::default();
        for (at, laeq) in [40.0, 40.0, 40.0, 60.0].into_iter().enumerate() {
            assert!(day.put(100 + at, block(laeq, 0.5)));
        }
        assert!(!day.put(100, block(20.0, 0.0)), "what is there stays");
        let window = day.window(100).unwrap();
        let mean = 10.0 * ((3.0 * 1e4 + 1e6) / 4.0f64).log10();
        assert!((window.laeq.db() - mean).abs() < 1e-9 && (window.rating_db(10.0) - mean - 5.0).abs() < 1e-9);
        assert!((window.events_per_hour - 12.0).abs() < 1e-9 && (window.la90.db() - 35.0).abs() < 1e-9);
        assert_eq!((day.window(99), day.window(101), day.window(BLOCKS - 1)), (None, None, None));
        assert_eq!(day.windows(10.0).iter().flatten().count(), 1);
    }

    #[test]
    fn a_block_heard_too_short_makes_no_window_but_counts_in_its_hour() {
        let mut day = Day::default();
        for at in 0..4 {
            day.put(at, Block { seconds: if at == 2 { 60.0 } else { 300.0 }, ..block(40.0, 0.0) });
        }
        assert_eq!(day.window(0), None);
        assert!((day.stretch(0, 12).unwrap().minutes - 16.0).abs() < 1e-9);
        assert_eq!(day.stretch(50, 12), None);
    }
}
