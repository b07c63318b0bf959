//! Why there is no ladder: each refusal names the items and says what to do.

use crate::words::Channel;

/// Why there is no ladder.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// Nothing to add back.
    #[error("there is no distractor to add back")]
    NoDistractor,
    /// The input contradicts itself.
    #[error("the input cannot be planned: {fault}")]
    Input {
        /// What is wrong.
        fault: String,
    },
    /// The background alone is louder than the cap.
    #[error(
        "the background, {background_db:.1} dB, is above the sound cap of {cap_db:.1} dB before any sound is added"
    )]
    BackgroundAboveCap {
        /// The background.
        background_db: f64,
        /// The cap.
        cap_db: f64,
    },
    /// Start or goal room is louder than the cap.
    #[error("the {room} room reads {level_db:.1} dB with {}, above the sound cap of {cap_db:.1} dB", listed(.sounds))]
    AboveCap {
        /// Start or goal.
        room: End,
        /// The energy sum without the adjustment for speech.
        level_db: f64,
        /// The cap.
        cap_db: f64,
        /// The sounds that are on, the loudest first.
        sounds: Vec<String>,
    },
    /// Start or goal room has something without what it needs.
    #[error("in the {room} room `{id}` is there, but `{needs}` is at {at} and must be at level {level} or higher")]
    NeedsMissing {
        /// Start or goal.
        room: End,
        /// What is there.
        id: String,
        /// What it needs.
        needs: String,
        /// At which level at least.
        level: usize,
        /// Where that one stands.
        at: usize,
    },
    /// Something is to rise in an earlier phase than what it needs.
    #[error(
        "`{id}` ({channel}) cannot be added: it needs `{needs}` ({other}) at level {level}, which comes later in `order`"
    )]
    NeedsComeLater {
        /// What is to rise.
        id: String,
        /// Its channel.
        channel: Channel,
        /// What it needs.
        needs: String,
        /// At which level at least.
        level: usize,
        /// The channel of that one.
        other: Channel,
    },
    /// Things wait for each other.
    #[error("no order adds {}: each needs another one first", listed(.ids))]
    Locked {
        /// What cannot rise.
        ids: Vec<String>,
    },
    /// Every order passes the cap somewhere on the way.
    #[error("every order passes the sound cap of {cap_db:.1} dB on the way: {} is louder on the way than at the goal", listed(.sounds))]
    CapOnTheWay {
        /// The cap.
        cap_db: f64,
        /// Sounds with a level on the way that is louder than at the goal.
        sounds: Vec<String>,
    },
    /// A search over part of the lattice found no way; there may be one.
    #[error("no way under the sound cap of {cap_db:.1} dB was found among {}; the room is too large to search whole", listed(.sounds))]
    NoneFound {
        /// The cap.
        cap_db: f64,
        /// The sounds that rise.
        sounds: Vec<String>,
    },
}

/// One end of a ladder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Where it starts.
    Start,
    /// What it leads to.
    Goal,
}

impl std::fmt::Display for End {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::Start => "start",
            Self::Goal => "goal",
        })
    }
}

/// Names in a sentence, at most eight of them.
fn listed(ids: &[String]) -> String {
    const SHOWN: usize = 8;
    let mut names: Vec<String> = ids.iter().take(SHOWN).map(|id| format!("`{id}`")).collect();
    if ids.len() > SHOWN {
        names.push(format!("{} more", ids.len() - SHOWN));
    }
    match names.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

impl Refusal {
    /// A short name for programs.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::NoDistractor => "no-distractor",
            Self::Input { .. } => "ladder-input",
            Self::BackgroundAboveCap { .. } => "background-above-cap",
            Self::AboveCap { .. } => "above-cap",
            Self::NeedsMissing { .. } => "needs-missing",
            Self::NeedsComeLater { .. } => "needs-come-later",
            Self::Locked { .. } => "needs-locked",
            Self::CapOnTheWay { .. } => "cap-on-the-way",
            Self::NoneFound { .. } => "no-path-found",
        }
    }

    /// What it names: the items, apart by commas; empty when it is the whole input.
    pub fn place(&self) -> String {
        match self {
            Self::NoDistractor | Self::Input { .. } => String::new(),
            Self::BackgroundAboveCap { .. } => "background_db".to_owned(),
            Self::AboveCap { sounds: ids, .. }
            | Self::Locked { ids }
            | Self::CapOnTheWay { sounds: ids, .. }
            | Self::NoneFound { sounds: ids, .. } => ids.join(", "),
            Self::NeedsMissing { id, needs, .. } | Self::NeedsComeLater { id, needs, .. } => format!("{id}, {needs}"),
        }
    }

    /// What to do.
    pub fn hint(&self) -> String {
        match self {
            Self::NoDistractor => "add at least one distractor with a level and a goal above its start".to_owned(),
            Self::Input { .. } => "correct the input and plan again".to_owned(),
            Self::BackgroundAboveCap { .. } => {
                "quieten the room or choose another one; a ladder is not built on a loud background".to_owned()
            }
            Self::AboveCap { room: End::Goal, .. } => {
                "lower the goal of the loudest sound, or leave one of the sounds out".to_owned()
            }
            Self::AboveCap { room: End::Start, .. } => {
                "start with fewer or quieter sounds; the start is the room in which the task is mastered first"
                    .to_owned()
            }
            Self::NeedsMissing { id, needs, level, .. } => {
                format!("raise `{needs}` to level {level} there, or take `{id}` down to 0")
            }
            Self::NeedsComeLater { id, needs, other, .. } => {
                format!("put {other} earlier in `order`, start with `{needs}` in place, or leave `{id}` out")
            }
            Self::Locked { .. } => "take away one of their `needs`".to_owned(),
            Self::CapOnTheWay { .. } => {
                "order the levels of these sounds from quiet to loud, or leave one out".to_owned()
            }
            Self::NoneFound { .. } => {
                "order the levels of the sounds from quiet to loud, or plan with fewer sounds at a time".to_owned()
            }
        }
    }
}
