//! Two made languages that find faults of layout before a translator does: one 40 % longer, one from right to left.
//! Both can still be read with a little patience.

/// The same letters with accents, and 40 % more of them.
pub(super) fn longer(words: &str) -> String {
    let mut text: String = words.chars().map(accented).collect();
    let more = words.chars().filter(|sign| sign.is_alphabetic()).count() * 2 / 5;
    if more > 0 {
        // In words of seven signs, since a language is longer by longer sentences and not by one endless word.
        for place in 0..more {
            text.push(if place % 7 == 0 { ' ' } else { 'õ' });
        }
    }
    text
}

fn accented(sign: char) -> char {
    const PLAIN: &str = "aceinosuyACEINOSUY";
    const WITH: &str = "áçëïñøšůýÀÇÉÎÑÖŠÛÝ";
    PLAIN.chars().position(|plain| plain == sign).and_then(|place| WITH.chars().nth(place)).unwrap_or(sign)
}

/// Every letter as one of an alphabet that is written from right to left (Hebrew's, by sound where there is one), so
/// that a page's direction is tried without any sign that steers it.
pub(super) fn mirrored(words: &str) -> String {
    words.chars().map(turned).collect()
}

fn turned(sign: char) -> char {
    const PLAIN: &str = "abcdefghijklmnopqrstuvwxyz";
    const TURNED: &str = "אבצדעפגהיזקלמנופקרסתוושחיז";
    let low = sign.to_ascii_lowercase();
    PLAIN.chars().position(|plain| plain == low).and_then(|place| TURNED.chars().nth(place)).unwrap_or(sign)
}

#[cfg(test)]
mod tests {
    use super::{longer, mirrored};

    #[test]
    fn a_longer_text_has_forty_per_cent_more_letters() {
        let text = longer("Clear the table to this task.");
        assert!(text.starts_with("Çlëár thë táblë tø thïš tášk."));
        let letters = "Clear the table to this task.".chars().filter(|sign| sign.is_alphabetic()).count();
        assert_eq!(text.chars().count(), "Clear the table to this task.".chars().count() + letters * 2 / 5);
    }

    #[test]
    fn a_mirrored_text_has_no_latin_letter() {
        assert!(mirrored("Clear the table, 4 min").chars().all(|sign| !sign.is_ascii_alphabetic()));
    }
}
