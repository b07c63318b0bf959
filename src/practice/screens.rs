//! What published guidance says about screens at an age, each with its edition. Information, never a verdict.
//!
//! [WHO2019] World Health Organization 2019, ages under 5. [AAP2016] American Academy of Pediatrics 2016, replaced by
//! [AAP2026], which looks at the whole use of media and names no hours. Ages in whole months; outside an edition's ages
//! it says so.

/// One body's guidance at an age.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guidance {
    /// Who, and which edition.
    pub edition: &'static str,
    /// What it says for this age.
    pub text: &'static str,
    /// Minutes a day at most, where it names any.
    pub minutes: Option<u32>,
    /// Whether it still stands.
    pub current: bool,
}

/// The editions in the order of their date, newest first.
pub fn guidance(age_months: u32) -> [Guidance; 3] {
    let aap = "American Academy of Pediatrics, January 2026 (Digital Ecosystems, Children, and Adolescents)";
    [
        Guidance {
            edition: aap,
            text: "Looks at the whole use of media instead of hours: what it is, with whom, what it takes the place of \
                   (sleep, movement, play, being together), and whether it was made to hold on to the child. It \
                   replaces the guidance of 2016.",
            minutes: None,
            current: true,
        },
        Guidance {
            edition: "World Health Organization, 2019 (children under 5)",
            text: match age_months {
                0..24 => "No sitting in front of a screen under 2 years.",
                24..60 => "At 2 to 4 years no more than 1 hour of sitting in front of a screen a day; less is better.",
                _ => "It ends at the fifth birthday.",
            },
            minutes: match age_months {
                0..24 => Some(0),
                24..60 => Some(60),
                _ => None,
            },
            current: true,
        },
        Guidance {
            edition: "American Academy of Pediatrics, October 2016 (Media and Young Minds; replaced in 2026)",
            text: match age_months {
                0..18 => "Under 18 months no screens but video chat.",
                18..24 => "At 18 to 24 months, if at all, good programmes and always with an adult.",
                24..72 => "At 2 to 5 years 1 hour a day of good programmes, watched with an adult.",
                _ => "From 6 years on it names no hours.",
            },
            minutes: match age_months {
                0..18 => Some(0),
                24..72 => Some(60),
                _ => None,
            },
            current: false,
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::guidance;

    #[test]
    fn every_edition_speaks_for_its_own_ages() {
        let minutes = |age| guidance(age).map(|one| one.minutes);
        assert_eq!(minutes(12), [None, Some(0), Some(0)]);
        assert_eq!(minutes(20), [None, Some(0), None]);
        assert_eq!(minutes(24), [None, Some(60), Some(60)]);
        assert_eq!(minutes(59), [None, Some(60), Some(60)]);
        assert_eq!(minutes(60), [None, None, Some(60)]);
        assert_eq!(minutes(72), [None, None, None]);
        for (age, says) in
            [(12, "no screens but video chat"), (20, "always with an adult"), (30, "1 hour a day"), (80, "no hours")]
        {
            assert!(guidance(age)[2].text.contains(says), "{age}: {}", guidance(age)[2].text);
        }
        assert_eq!(guidance(30).map(|one| one.current), [true, true, false]);
    }
}
