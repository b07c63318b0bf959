//! After the top: the same in another place, with another person, with another task; and probes that it lasts.
//!
//! Varied conditions transfer better than one condition practised for long; the weeks of the probes are common practice, no
//! source (see the practice room).

/// Weeks after the top was left at which it is probed. Common practice, no source.
pub const MAINTENANCE_WEEKS: [u32; 4] = [1, 2, 4, 8];

/// What is changed after the top, one thing at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Elsewhere {
    /// Another place.
    Place,
    /// Another adult.
    Person,
    /// Another task.
    Task,
}

impl Elsewhere {
    /// In the order in which they are tried.
    pub const ALL: [Self; 3] = [Self::Person, Self::Place, Self::Task];

    /// A short name for programs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Place => "another place",
            Self::Person => "another adult",
            Self::Task => "another task",
        }
    }

    /// What to set up.
    pub fn set_up(self) -> String {
        match self {
            Self::Person => "Everything as on the top rung, but another adult teaches: one whom the child knows, who has watched two sittings and was told what calms the child.".to_owned(),
            Self::Place => "The same task and adult in another place the child knows. Audit it first. Begin with what that place has by itself, if its load is not above the top rung's; else take away its first moves before.".to_owned(),
            Self::Task => "The same place and adult, another task that the child has mastered in the cleared room first.".to_owned(),
        }
    }

    /// How to check it.
    pub fn check(self) -> String {
        match self {
            Self::Person => "The same check at the child's chair as on the top rung; both adults agree on what counts as right.".to_owned(),
            Self::Place => "Its audit: load not above the top rung's, and no sound above the cap at the child's chair.".to_owned(),
            Self::Task => "The same check at the child's chair as on the top rung; what counts as right is written down for the new task.".to_owned(),
        }
    }
}

/// A rung after the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BeyondRung {
    /// Goes on counting after the top.
    pub number: u32,
    /// What is changed.
    pub what: Elsewhere,
    /// What to set up.
    pub set_up: String,
    /// How to check it.
    pub check: String,
    /// When it is passed.
    pub mastery: String,
    /// When to go back.
    pub step_back: String,
}

/// The rungs after a ladder of `top` rungs.
pub(crate) fn beyond(top: u32, mastery: &str) -> Vec<BeyondRung> {
    Elsewhere::ALL
        .into_iter()
        .zip(1..)
        .map(|(what, after)| BeyondRung {
            number: top + after,
            what,
            set_up: what.set_up(),
            check: what.check(),
            mastery: mastery.to_owned(),
            step_back: format!(
                "Two sittings running with at most half right without help: back to rung {top} as it was, for one sitting that goes well; then with less at a time."
            ),
        })
        .collect()
}

/// How a probe of the top is done, that many weeks after it was left.
pub fn maintenance(weeks: u32) -> String {
    let after = if weeks == 1 { "One week".to_owned() } else { format!("{weeks} weeks") };
    format!(
        "{after} after the top rung was passed: 4 or more opportunities on it, not taught, noted as `maintenance`. Fewer than 8 in 10 right without help: once more within three days; low again: one rung back."
    )
}
