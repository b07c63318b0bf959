//! A bar for whatever takes more than a second, on a terminal only.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A bar that shows itself once something has taken a second.
pub(super) struct Progress {
    bar: ProgressBar,
}

/// Steps of the bar; a share of the work is rounded to this.
const STEPS: f64 = 1000.0;

impl Progress {
    /// A bar with that label, drawn only if someone is watching.
    pub(super) fn new(label: &str, watched: bool) -> Self {
        let target = if watched { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
        let bar = ProgressBar::with_draw_target(Some(1000), target).with_message(label.to_owned());
        if let Ok(style) = ProgressStyle::with_template("{msg} [{bar:30}] {percent} %, {eta} left") {
            bar.set_style(style.progress_chars("=> "));
        }
        Self { bar }
    }

    /// Shows that `share` (0–1) of the work is done.
    pub(super) fn at(&self, share: f64) {
        if self.bar.elapsed() < Duration::from_secs(1) {
            return;
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0 to 1000")]
        self.bar.set_position((share.clamp(0.0, 1.0) * STEPS) as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
