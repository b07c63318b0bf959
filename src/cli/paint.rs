//! The little that colour and blocks do: bars, bold words, lines wrapped for a terminal. Everything reads without colour.

use super::layout::WRAP;

/// The width text is wrapped at: a page's line, whatever the window.
pub(super) const WIDTH: usize = 96;

/// Bold, for a terminal; `anstream` takes it off elsewhere and under `NO_COLOR`.
pub(super) fn bold(text: &str) -> String {
    format!("\u{1b}[1m{text}\u{1b}[0m")
}

/// A bar of `share` (0–1) of `cells` cells, in eighths of a cell.
pub(super) fn bar(share: f64, cells: u32) -> String {
    const EIGHTHS: [&str; 8] = ["", "▏", "▎", "▍", "▌", "▋", "▊", "▉"];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0 and the bar's width")]
    let eighths = (share.clamp(0.0, 1.0) * f64::from(cells) * 8.0).round() as usize;
    format!("{}{}", "█".repeat(eighths / 8), EIGHTHS[eighths % 8])
}

/// `text` to be wrapped after `first`, the other lines below its first word. It is wrapped where it is printed, when its
/// language is known.
pub(super) fn wrapped(first: &str, text: &str) -> String {
    format!("{first}{WRAP}{}\n", text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A number without decimals it does not need: `4` for 4.0, `2.5` for 2.5.
pub(super) fn short(number: f64) -> String {
    if (number - number.round()).abs() < 0.05 { format!("{number:.0}") } else { format!("{number:.1}") }
}

#[cfg(test)]
mod tests {
    use super::{bar, short};

    #[test]
    fn a_bar_is_as_long_as_its_share() {
        assert_eq!(bar(0.5, 4), "██");
        assert_eq!(bar(1.0 / 32.0, 4), "▏");
        assert_eq!(bar(7.0, 2), "██");
        assert_eq!(bar(f64::NAN, 2), "");
    }

    #[test]
    fn a_whole_number_has_no_decimals() {
        assert_eq!((short(4.0), short(2.5)), ("4".to_owned(), "2.5".to_owned()));
    }
}
