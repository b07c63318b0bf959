//! The closed words of the trade: channels, surfaces, evidence, and the nearest right spelling of a wrong one.

use std::fmt;

/// The three ways in for a distraction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Channel {
    /// Things seen.
    Seen,
    /// Things heard.
    Heard,
    /// Other people and animals.
    Company,
}

impl Channel {
    /// All three, in the order in which they are usually added back.
    pub const ALL: [Self; 3] = [Self::Seen, Self::Heard, Self::Company];

    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Heard => "heard",
            Self::Company => "company",
        }
    }

    /// The channel of that word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|channel| channel.word() == word)
    }
}

impl fmt::Display for Channel {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

/// Where a question looks: three surfaces, what is in the air, and who is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// The table top.
    Table,
    /// The floor.
    Floor,
    /// Walls, shelves, windows.
    Wall,
    /// What is heard or smelt.
    Air,
    /// Who is there.
    Company,
}

impl Surface {
    /// All five, in the order in which a walk asks them.
    pub const ALL: [Self; 5] = [Self::Table, Self::Floor, Self::Wall, Self::Air, Self::Company];

    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Table => "table",
            Self::Floor => "floor",
            Self::Wall => "wall",
            Self::Air => "air",
            Self::Company => "company",
        }
    }

    /// The surface of that word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|surface| surface.word() == word)
    }
}

impl fmt::Display for Surface {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

/// What a constant rests on; shown wherever the constant is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Evidence {
    /// A published standard.
    Standard,
    /// A paper's measure.
    Published,
    /// Common practice, no source.
    Practice,
    /// Our own convention.
    Convention,
}

impl Evidence {
    /// All four, the firmest first.
    pub const ALL: [Self; 4] = [Self::Standard, Self::Published, Self::Practice, Self::Convention];

    /// The word used in files and on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Published => "published",
            Self::Practice => "practice",
            Self::Convention => "convention",
        }
    }

    /// The tag of that word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|evidence| evidence.word() == word)
    }
}

impl fmt::Display for Evidence {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}

/// The right word nearest to a wrong one, if one is near enough to be what was meant:
/// fewest single-letter edits and swaps of neighbours, at most a third of the longer word's letters (at least one edit).
pub fn nearest<'a>(wrong: &str, right: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    right
        .into_iter()
        .map(|word| (edits(wrong, word), word))
        .filter(|(distance, word)| {
            let longer = wrong.chars().count().max(word.chars().count());
            *distance <= (longer / 3).max(1)
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// A sentence's end for an unknown word: ` (did you mean …?)` or nothing.
pub fn did_you_mean<'a>(wrong: &str, right: impl IntoIterator<Item = &'a str>) -> String {
    nearest(wrong, right).map_or_else(String::new, |word| format!(" (did you mean `{word}`?)"))
}

/// A name as it may stand in a message: control characters escaped, and cut at 120 characters.
pub fn printable(name: &str) -> String {
    let mut shown: String = name
        .chars()
        .take(120)
        .flat_map(|sign| {
            let hidden = sign.is_control()
                || matches!(sign, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
            if hidden { sign.escape_unicode().collect::<Vec<_>>() } else { vec![sign] }
        })
        .collect();
    if name.chars().nth(120).is_some() {
        shown.push('…');
    }
    shown
}

/// Edits between two words: insertion, deletion, replacement, swap of neighbours (optimal string alignment).
fn edits(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().take(64).flat_map(char::to_lowercase).collect();
    let b: Vec<char> = b.chars().take(64).flat_map(char::to_lowercase).collect();
    let mut rows = vec![vec![0usize; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    for (j, cell) in rows[0].iter_mut().enumerate() {
        *cell = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let changed = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (rows[i - 1][j] + 1).min(rows[i][j - 1] + 1).min(rows[i - 1][j - 1] + changed);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = best;
        }
    }
    rows[a.len()][b.len()]
}

/// An id as people read it: `loose things on table`.
pub(crate) fn id_in_words(id: &str) -> String {
    id.replace('-', " ")
}

/// `1 session`, `3 sessions`: a count with its word.
pub(crate) fn counted(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

#[cfg(test)]
mod tests {
    use super::{Channel, edits, nearest, printable};

    #[test]
    fn a_slip_of_the_finger_finds_the_right_word() {
        assert_eq!(
            nearest("loose-thigns-on-table", ["loose-things-on-table", "food-on-table"]),
            Some("loose-things-on-table")
        );
        assert_eq!(nearest("herd", Channel::ALL.map(Channel::word)), Some("heard"));
        assert_eq!(nearest("elephant", Channel::ALL.map(Channel::word)), None);
    }

    #[test]
    fn a_swap_of_neighbours_is_one_edit() {
        assert_eq!(edits("tabel", "table"), 1);
        assert_eq!(edits("", "wall"), 4);
    }

    #[test]
    fn a_name_cannot_move_the_cursor() {
        assert_eq!(printable("a\u{1b}[2Jb\n"), "a\\u{1b}[2Jb\\u{a}");
    }
}
