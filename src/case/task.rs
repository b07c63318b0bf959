//! What may count as a right answer: one sentence about what can be seen, and never eye contact or stillness.

use crate::words::printable;

/// What is wrong with the sentence that says what counts as right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TaskFault {
    /// Nothing there.
    #[error("the task does not say what counts as right")]
    Empty,
    /// More than one sentence.
    #[error("what counts as right takes one sentence, and `{0}` is more")]
    Sentences(String),
    /// A demand on the child's body that is no part of any task.
    #[error("`{0}` makes eye contact or stillness a condition; a child may rock, hum and look away and still be right")]
    Body(String),
}

/// Demands that no task makes. The list is a convention: it catches the common wordings, not every one.
const NEVER: [&str; 16] = [
    "eye contact",
    "looks me in the eye",
    "looks at me",
    "look at me",
    "looks at the adult",
    "looks at the teacher",
    "looks into",
    "sits still",
    "sit still",
    "sitting still",
    "quiet hands",
    "still hands",
    "hands still",
    "quiet body",
    "without moving",
    "without stimming",
];

/// Checks the sentence that says what counts as right.
pub fn check_correct(sentence: &str) -> Result<(), TaskFault> {
    let sentence = sentence.trim();
    if sentence.is_empty() {
        return Err(TaskFault::Empty);
    }
    let shown = || printable(sentence);
    let ends = sentence.trim_end_matches(['.', '!', '?']);
    let another = ends.char_indices().any(|(at, sign)| {
        matches!(sign, '.' | '!' | '?' | '\n') && ends[at + sign.len_utf8()..].starts_with([' ', '\n']) || sign == '\n'
    });
    if another {
        return Err(TaskFault::Sentences(shown()));
    }
    let words = sentence.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
    if NEVER.iter().any(|never| words.contains(never)) { Err(TaskFault::Body(shown())) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::{TaskFault, check_correct};

    #[test]
    fn a_right_answer_is_one_sentence_about_the_task() {
        assert_eq!(check_correct("puts each leaf on its shape within 10 s"), Ok(()));
        assert_eq!(check_correct("Points to the picture that was named, with hand or gaze."), Ok(()));
        assert_eq!(check_correct("gives 1.5 cups"), Ok(()));
        assert_eq!(check_correct("  "), Err(TaskFault::Empty));
        assert!(matches!(check_correct("Takes the cup. Puts it down."), Err(TaskFault::Sentences(_))));
    }

    #[test]
    fn eye_contact_and_stillness_never_count() {
        for never in ["makes Eye  contact for 3 s", "sits still and matches", "answers with quiet hands", "looks at me"]
        {
            assert!(matches!(check_correct(never), Err(TaskFault::Body(_))), "{never}");
        }
    }
}
